/** The figures of a cost card, each in a field: those of a job and those of its shop are the same. */
import { figureLabel } from '../../core/measure/figure-units.ts';
import type { CostCard } from '../../core/shop/cost-card.ts';
import { NumberField } from '../parts/number-field.tsx';
import { CARD_GROUPS, type CardField, type CardPath, cardFigure, cardWith, isPrice } from './card-fields.ts';

interface CardFiguresProps {
  readonly card: CostCard;
  readonly unit: 'mm' | 'in';
  /** Figures to be marked. */
  readonly wanted?: readonly CardPath[];
  hint?(field: CardField): string | undefined;
  /** Gets the card with one figure changed; returns the sentence why not. */
  set(card: CostCard, field: CardField): string | undefined;
}

export function CardFigures({ card, unit, wanted = [], hint, set }: CardFiguresProps) {
  const take = (field: CardField, value: number) => {
    const changed = cardWith(card, field, value, unit);
    return typeof changed === 'string' ? changed : set(changed, field);
  };
  return (
    <>
      {CARD_GROUPS.map(({ title, about, fields }) => (
        <section key={title} class="card-group">
          <h3>{figureLabel(title, unit)}</h3>
          <p class="quiet">{about}</p>
          {fields.map((field) => {
            const said = hint?.(field) ?? field.hint;
            return (
              <div
                key={field.path}
                class={wanted.includes(field.path) ? 'card-field is-wanted' : 'card-field'}
              >
                <NumberField
                  label={figureLabel(field.label, unit)}
                  {...(isPrice(field) && { leastDecimals: 2 })}
                  value={cardFigure(card, field, unit)}
                  onChange={(value) => take(field, value)}
                  {...(said !== undefined && { hint: said })}
                />
              </div>
            );
          })}
        </section>
      ))}
    </>
  );
}

export function OwnFiguresCheck({ card, set }: { readonly card: CostCard; set(card: CostCard): void }) {
  return (
    <label class="check">
      <input
        type="checkbox"
        checked={!card.isEstimate}
        onChange={(event) => set({ ...card, isEstimate: !event.currentTarget.checked })}
      />
      These are the shop’s own figures
    </label>
  );
}
