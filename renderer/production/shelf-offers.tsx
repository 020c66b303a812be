/** Rolls of the shelf that fit the job, to be taken with one click: those that are begun and leave least over first. */
import type { ContractReply } from '../../core/contract/contract.ts';
import type { Job } from '../../core/job/schema.ts';
import { isFleet } from '../../core/job/vehicles.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText, rollLengthText } from '../../core/measure/long-length.ts';
import { laminateFromShelf, rollFromShelf, rollsAsLeft } from '../../core/production/roll-offers.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { lotText, stockCode } from '../../core/shop/stock-text.ts';
import { Button } from '../parts/button.tsx';
import { Section } from '../parts/section.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { workSlot } from '../state/work.ts';
import { useFilmAnswer } from './film-answer.ts';
import { setProduction } from './production-state.ts';

const work = workSlot();

type Offer = ContractReply<'stock:offers'>['films'][number];

interface ShelfOffersProps {
  /** As if it had the film in hand alone. */
  readonly job: Job;
  readonly settings: ProductionSettings;
}

export function ShelfOffers({ job, settings }: ShelfOffersProps) {
  const {
    answer: offers,
    find,
    progress,
  } = useFilmAnswer(work, job, (request) =>
    work.run('stock:offers', request, 'Nesting panels on rolls', job.id),
  );
  const laminates = settings.laminateRolls ?? [];
  const taken = new Set([...settings.rolls, ...laminates].flatMap(({ onShelf }) => onShelf?.rollId ?? []));
  const isFree = ({ roll }: Offer) => !taken.has(roll.id);
  return (
    <Section title="On the shelf">
      {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
      {offers?.changed.map((roll) => (
        <ChangedRoll key={roll.id} roll={roll} job={job} settings={settings} />
      ))}
      {offers && offers.films.length === 0 && (
        <p class="quiet">No roll of this film on the shelf takes the job or one of its sides.</p>
      )}
      {offers && (
        <OfferList
          label="Rolls of film that fit"
          offers={offers.films.filter(isFree)}
          job={job}
          onTake={(roll) =>
            setProduction('Take a roll from the shelf', {
              rolls: [...settings.rolls, rollFromShelf(job, roll)],
            })
          }
        />
      )}
      {offers && offers.laminates.length > 0 && (
        <OfferList
          label="Rolls of laminate that fit the nesting"
          offers={offers.laminates.filter(isFree)}
          job={job}
          onTake={(roll) =>
            setProduction('Take a roll of laminate from the shelf', {
              laminateRolls: [...laminates, laminateFromShelf(roll)],
            })
          }
        />
      )}
      {laminates.map(({ label, onShelf }) => (
        <p key={onShelf.rollId}>
          Laminate: {label}{' '}
          <Button
            spoken={`Remove ${label}`}
            onClick={() =>
              void setProduction('Remove a roll of laminate', {
                laminateRolls: laminates.filter((other) => other.onShelf.rollId !== onShelf.rollId),
              })
            }
          >
            Remove
          </Button>
        </p>
      ))}
      <div class="buttons">
        <Button isDisabled={progress !== undefined} onClick={find}>
          Look at the shelf again
        </Button>
      </div>
    </Section>
  );
}

interface ChangedRollProps extends ShelfOffersProps {
  readonly roll: StockRoll;
}

/** A roll that was printed on since the job took it. */
function ChangedRoll({ roll, job, settings }: ChangedRollProps) {
  const taken = [...settings.rolls, ...(settings.laminateRolls ?? [])].find(
    ({ onShelf }) => onShelf?.rollId === roll.id,
  );
  if (!taken || taken.usableLengthMm === roll.leftMm) return null;
  const [code, unit] = [stockCode(roll.number), job.displayUnit];
  return (
    <p>
      {code} has {rollLengthText(roll.leftMm, unit)} by now, and the job counts on{' '}
      {rollLengthText(taken.usableLengthMm, unit)}.{' '}
      <Button
        spoken={roll.leftMm > 0 ? `Nest on what is left of ${code}` : `Take ${code} out of the job`}
        onClick={() => void setProduction('Count on what is left of a roll', rollsAsLeft(settings, roll))}
      >
        {roll.leftMm > 0 ? 'Nest on what is left' : 'Take it out'}
      </Button>
    </p>
  );
}

interface OfferListProps {
  readonly label: string;
  readonly offers: readonly Offer[];
  readonly job: Job;
  onTake(roll: StockRoll): void;
}

function OfferList({ label, offers, job, onTake }: OfferListProps) {
  if (offers.length === 0) return null;
  return (
    <ul class="shelf-offers" aria-label={label}>
      {offers.map((offer) => (
        <li key={offer.roll.id}>
          <p>
            <strong>{stockCode(offer.roll.number)}</strong> {offer.roll.isPartial ? 'partial roll, ' : ''}
            {lotText(offer.roll)}, {lengthText(offer.roll.widthMm, job.displayUnit)} wide:{' '}
            {offerText(offer, job)}
          </p>
          <Button spoken={`Take ${stockCode(offer.roll.number)}`} onClick={() => onTake(offer.roll)}>
            Take it
          </Button>
        </li>
      ))}
    </ul>
  );
}

function offerText({ roll, takes, neededMm }: Offer, job: Job): string {
  const unit = job.displayUnit;
  const has = `has ${rollLengthText(roll.leftMm, unit)}`;
  if (takes === 'all') {
    return `${has}, needs ${filmLengthText(neededMm, unit)}, leaves ${rollLengthText(roll.leftMm - neededMm, unit)}.`;
  }
  return `${has}; takes ${takes.join(' or ')}${isFleet(job) ? ' of one vehicle' : ''} by itself, at most ${filmLengthText(neededMm, unit)}.`;
}
