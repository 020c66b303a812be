/** The costs that the planner uses: estimates until the shop's own figures are entered. Kept with the job. */
import { useEffect, useRef } from 'preact/hooks';
import { jobSet } from '../../core/job/edits/edits.ts';
import { ownCostCard } from '../../core/job/job-cost-card.ts';
import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import { materialPrice } from '../../core/job/material-price.ts';
import type { Job } from '../../core/job/schema.ts';
import { figureLabel, figureShown } from '../../core/measure/figure-units.ts';
import { type CostCard, ESTIMATED_COST_CARD } from '../../core/shop/cost-card.ts';
import { Button } from '../parts/button.tsx';
import { moneyText } from '../parts/quantity-text.ts';
import { setProduction } from '../production/production-state.ts';
import { editJob, isReadOnly } from '../state/open-job.ts';
import type { CardField, CardPath } from './card-fields.ts';
import { CardFigures, OwnFiguresCheck } from './card-figures.tsx';

interface CostCardFormProps {
  readonly job: Job;
  readonly currency: string;
  /** Figures that were asked for; they are marked, and the first gets the focus. */
  readonly wanted: readonly CardPath[];
}

export function CostCardForm({ job, currency, wanted }: CostCardFormProps) {
  const card = ownCostCard(job);
  const form = useRef<HTMLFieldSetElement>(null);
  useEffect(() => {
    const first =
      wanted.length > 0 && form.current?.querySelector<HTMLElement>('.card-field.is-wanted input');
    if (first) first.focus();
  }, [wanted]);
  const set = (label: string, costCard: CostCard) =>
    editJob(label, (now) => jobSet(now, { change: { costCard } }), { isQuiet: true })?.message;
  return (
    <fieldset ref={form} class="card-form" disabled={isReadOnly.value}>
      <legend class="screen-reader-only">Cost card</legend>
      <OwnFiguresCheck card={card} set={(changed) => void set('Say where the figures come from', changed)} />
      <p class="quiet">
        {card.isEstimate
          ? 'Built-in guesses from common practice. Replace them by what your shop has measured.'
          : 'Entered by the shop and kept with this job.'}{' '}
        Money is in {currency}; currency and labor rate are those of production.
      </p>
      <CardFigures
        card={card}
        unit={job.displayUnit}
        wanted={wanted}
        hint={(field) => shelfHint(job, field, currency)}
        set={(changed, { path }) => {
          if (path !== 'laborPerHour') return set('Change the cost card', changed);
          // The labor rate is one of production's figures, and is kept there.
          const { figures } = jobProductionSettings(job);
          const { laborPerHour } = changed;
          return setProduction('Change the labor rate', { figures: { ...figures, laborPerHour } });
        }}
      />
      <Button
        isDisabled={(job.costCard ?? ESTIMATED_COST_CARD) === ESTIMATED_COST_CARD}
        onClick={() => void set('Go back to the built-in figures', ESTIMATED_COST_CARD)}
      >
        Back to the built-in figures
      </Button>
    </fieldset>
  );
}

const PRICED: Partial<Record<CardPath, 'film' | 'laminate'>> = {
  filmPerSquareMeter: 'film',
  laminatePerSquareMeter: 'laminate',
};

/** Where the job is printed on an item from the shelf, its price counts and the card's is only kept. */
function shelfHint(job: Job, { path }: CardField, currency: string): string | undefined {
  const use = PRICED[path];
  if (!use) return undefined;
  const { from, perM2 } = materialPrice(job, use);
  const material = job.production?.[use];
  if (from !== 'shelf' || !material) return `Counts until a ${use} with a price is selected from the shelf.`;
  const price = moneyText(figureShown(perM2, 'per m²', job.displayUnit), currency);
  return `Not used in this job: ${material.name} has its own price, ${price} ${figureLabel('a m²', job.displayUnit)}.`;
}
