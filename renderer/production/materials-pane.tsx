/** The film and laminate that this job is printed on, and whether they go together. */
import { useState } from 'preact/hooks';
import { type Finding, findingKey } from '../../core/findings/finding.ts';
import { hasSeveralFilms } from '../../core/job/job-films.ts';
import type { Film, Job, Laminate } from '../../core/job/schema.ts';
import { figureLabel, figureShown } from '../../core/measure/figure-units.ts';
import { decimalText, lengthText, typedLengthText } from '../../core/measure/length-text.ts';
import { rollLengthText } from '../../core/measure/long-length.ts';
import { present } from '../../core/measure/present.ts';
import { PAIRING_CODES, type PairingCode } from '../../core/shop/override.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import { FILM_KIND_NAMES, type ShelfItem } from '../../core/shop/shelf.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { OptionalNumberField } from '../parts/optional-number-field.tsx';
import { moneyText } from '../parts/quantity-text.ts';
import { Facts, Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { findings } from '../state/job-findings.ts';
import { job } from '../state/open-job.ts';
import { keepShopItem, shopItems } from '../state/shop.ts';
import { nameToSign, rememberName } from '../state/signature.ts';
import { draftEmpty, draftFromMaterial, type MaterialDraft, type MaterialUse } from './material-draft.ts';
import { MaterialForm } from './material-form.tsx';
import { filmInHandId, setProduction } from './production-state.ts';

interface MaterialsPaneProps {
  readonly job: Job;
  readonly settings: ProductionSettings;
}

export function MaterialsPane({ job, settings }: MaterialsPaneProps) {
  return (
    <>
      <Material
        job={job}
        use="film"
        title="Film"
        item={settings.film}
        known={job.film}
        currency={settings.figures.currency}
      />
      <Material
        job={job}
        use="laminate"
        title="Laminate"
        item={settings.laminate}
        known={job.laminate}
        currency={settings.figures.currency}
      />
      <Order settings={settings} />
      <Pairing settings={settings} by={nameToSign(job)} />
    </>
  );
}

interface MaterialProps {
  readonly job: Job;
  readonly use: MaterialUse;
  readonly title: string;
  readonly item: ShelfItem | undefined;
  /** What the job says of it already. */
  readonly known: Film | undefined;
  readonly currency: string;
}

function Material({ job, use, title, item, known, currency }: MaterialProps) {
  const [draft, setDraft] = useState<{ readonly id: string; readonly text: MaterialDraft }>();
  const unit = job.displayUnit;
  const choose = (chosen: ShelfItem | undefined) =>
    setProduction(chosen ? `Set the ${use}` : `Remove the ${use}`, { [use]: chosen });
  if (draft) {
    return (
      <Section title={title}>
        <MaterialForm
          use={use}
          unit={unit}
          id={draft.id}
          start={draft.text}
          was={item?.id === draft.id ? item : undefined}
          onDone={(entered) => {
            void keepShopItem({ kind: 'material', value: entered });
            choose(entered);
            setDraft(undefined);
          }}
          onCancel={() => setDraft(undefined)}
        />
      </Section>
    );
  }
  const onShelf = shopItems.value.materials.filter((candidate) => candidate.use === use);
  return (
    <Section title={title}>
      {item ? (
        <Facts rows={materialFacts(item, unit, currency)} />
      ) : (
        <p class="quiet">
          {known ? `The job names ${known.name}; its data sheet has not been entered.` : `No ${use} is set.`}
        </p>
      )}
      {onShelf.length > 0 && (
        <SelectField
          label="On the shop’s shelf"
          value={
            onShelf.some(({ id }) => id === item?.id) ? present(item, 'The item that is selected').id : ''
          }
          options={[
            { value: '', label: item ? 'the job’s own' : 'none' },
            ...onShelf.map(({ id, name, lotNumber }) => ({
              value: id,
              label: lotNumber === '' ? name : `${name}, lot number ${lotNumber}`,
            })),
          ]}
          onChange={(id) => {
            const chosen = onShelf.find((candidate) => candidate.id === id);
            if (chosen) choose(chosen);
          }}
        />
      )}
      <div class="buttons">
        {item ? (
          <>
            <Button onClick={() => setDraft({ id: item.id, text: draftFromMaterial(item, unit) })}>
              Change the {use}
            </Button>
            <Button onClick={() => void choose(undefined)}>Without {use} data</Button>
          </>
        ) : (
          <Button onClick={() => setDraft({ id: crypto.randomUUID(), text: draftKnown(job, use, known) })}>
            Enter a {use}
          </Button>
        )}
      </div>
    </Section>
  );
}

function draftKnown(job: Job, use: MaterialUse, known: Film | Laminate | undefined): MaterialDraft {
  const { rollWidthMm, rollLengthMm } = job.printer;
  return draftEmpty({
    ...(known && { name: known.name, kind: known.kind, finish: known.finish, lotNumber: known.lotNumber }),
    isForGlass: known !== undefined && ('perforated' in known || 'opticallyClear' in known),
    // The roll in the printer is this film.
    ...(use === 'film' && {
      widthMm: typedLengthText(rollWidthMm, job.displayUnit),
      lengthMm: rollLengthText(rollLengthMm, job.displayUnit),
    }),
  });
}

const materialFacts = (
  item: ShelfItem,
  unit: 'mm' | 'in',
  currency: string,
): readonly (readonly [string, string])[] => [
  ['name', item.name],
  ['kind', FILM_KIND_NAMES[item.kind]],
  ['finish', item.finish || 'not stated'],
  ...(item.use === 'film' && item.perforated ? [['glass', 'perforated'] as const] : []),
  ...(item.use === 'laminate' && item.opticallyClear ? [['glass', 'optically clear'] as const] : []),
  ['thickness', `${decimalText(figureShown(item.thicknessUm, 'µm', unit), 1)} ${figureLabel('µm', unit)}`],
  ['adhesive', item.adhesive || 'not stated'],
  ['service life', `${item.serviceYears} years`],
  ...(item.use === 'film'
    ? [['most stretch when installed', `${item.stretchLimitPercent} % longer`] as const]
    : []),
  ['roll', `${lengthText(item.widthMm, unit)} wide, ${rollLengthText(item.lengthMm, unit)} long`],
  [
    'price',
    `${moneyText(figureShown(item.pricePerM2, 'per m²', unit), currency)} ${figureLabel('a m²', unit)}`,
  ],
  ['lot number', item.lotNumber || 'not stated'],
];

function Order({ settings }: { readonly settings: ProductionSettings }) {
  return (
    <Section title="As ordered">
      <TextField
        label="Finish"
        value={settings.orderedFinish}
        hint="Empty where any will do"
        onChange={(orderedFinish) => void setProduction('Set the ordered finish', { orderedFinish })}
      />
      <OptionalNumberField
        label="Life promised to the customer, years"
        value={settings.promisedYears}
        empty="nothing promised"
        onChange={(promisedYears) => setProduction('Set the promised life', { promisedYears })}
      />
    </Section>
  );
}

const isPairing = (code: string): code is PairingCode => (PAIRING_CODES as readonly string[]).includes(code);

interface PairingProps {
  readonly settings: ProductionSettings;
  readonly by: string;
}

function Pairing({ settings, by }: PairingProps) {
  const inHand = job.value && hasSeveralFilms(job.value) ? filmInHandId(job.value) : undefined;
  const found = findings.value.filter(({ code, where }) => isPairing(code) && where.filmId === inHand);
  if (!settings.film) return null;
  return (
    <Section title="Film and laminate together">
      {found.length === 0 && <p>No rule is against this pair. The film’s data sheet counts for more.</p>}
      <ul class="findings">
        {found.map((finding) => (
          <PairingItem key={findingKey(finding)} finding={finding} settings={settings} by={by} />
        ))}
      </ul>
    </Section>
  );
}

const SEVERITY_WORDS = { stop: 'Stop', warn: 'Warning', note: 'Overridden' } as const;

interface PairingItemProps {
  readonly finding: Finding;
  readonly settings: ProductionSettings;
  readonly by: string;
}

function PairingItem({ finding, settings, by }: PairingItemProps) {
  const { severity, message, remedy } = finding;
  const code = finding.code as PairingCode;
  const others = settings.overrides.filter((override) => override.code !== code);
  const isOverridden = others.length < settings.overrides.length;
  return (
    <li class={`finding ${severity} is-stacked`}>
      <div>
        <strong>{SEVERITY_WORDS[severity]}</strong>
        <p>{message}</p>
        <p class="quiet">{remedy}</p>
      </div>
      {isOverridden ? (
        <Button onClick={() => void setProduction('Clear an override', { overrides: others })}>Clear</Button>
      ) : (
        <OverrideForm
          by={by}
          onOverride={(override) =>
            setProduction('Override a rule of materials', { overrides: [...others, { code, ...override }] })
          }
        />
      )}
    </li>
  );
}

interface OverrideFormProps {
  readonly by: string;
  onOverride(given: { readonly by: string; readonly note: string }): string | undefined;
}

function OverrideForm({ by, onOverride }: OverrideFormProps) {
  const [isOpen, setOpen] = useState(false);
  const [name, setName] = useState(by);
  const [note, setNote] = useState('');
  if (!isOpen) return <Button onClick={() => setOpen(true)}>Override with a note</Button>;
  return (
    <form
      class="override"
      onSubmit={(event) => {
        event.preventDefault();
        rememberName(name);
        onOverride({ by: name.trim(), note: note.trim() });
      }}
    >
      <TextField label="Your name, for the ticket" value={name} onChange={setName} onInput={setName} />
      <TextField label="Why, for the ticket" value={note} isMultiline onChange={setNote} onInput={setNote} />
      <div class="buttons">
        <Button isSubmit isPrimary isDisabled={name.trim() === '' || note.trim() === ''}>
          Override
        </Button>
        <Button onClick={() => setOpen(false)}>Cancel</Button>
      </div>
    </form>
  );
}
