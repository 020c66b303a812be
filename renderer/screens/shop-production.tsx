/** What work and film cost the shop, how fast it works and when: its cost card, figures and hours. */
import { useEffect, useState } from 'preact/hooks';
import type { OwnFigure } from '../../core/production/own-figures.ts';
import { type CostCard, ESTIMATED_COST_CARD } from '../../core/shop/cost-card.ts';
import { MOST_BAYS } from '../../core/shop/production-settings.ts';
import { DEFAULT_INSTALLERS } from '../../core/shop/shop-figures.ts';
import { ask } from '../client/client.ts';
import { CardFigures, OwnFiguresCheck } from '../layouts/card-figures.tsx';
import { Button } from '../parts/button.tsx';
import { NumberField } from '../parts/number-field.tsx';
import { Section } from '../parts/section.tsx';
import { OwnFigures } from '../production/own-figures.tsx';
import { PriceFields } from '../production/price-fields.tsx';
import { type SetProductionDefaults, ShopFigureFields } from '../production/shop-figure-fields.tsx';
import { InkField, RestFields, WorkingHoursFields } from '../production/shop-time-fields.tsx';
import { showProblem } from '../state/notices.ts';
import type { ShopFieldsProps } from './shop-fields.tsx';

export function ShopCosts({ shop, set }: ShopFieldsProps) {
  const { figures } = shop.production;
  // The rate is kept with the figures alone, as in a job.
  const card: CostCard = { ...(shop.costCard ?? ESTIMATED_COST_CARD), laborPerHour: figures.laborPerHour };
  const setFigures = (change: Partial<typeof figures>) =>
    set({ production: { ...shop.production, figures: { ...figures, ...change } } });
  return (
    <>
      <Section title="Cost card">
        <OwnFiguresCheck card={card} set={(costCard) => void set({ costCard })} />
        <p class="quiet">
          {card.isEstimate
            ? 'Built-in guesses from common practice. Replace them by what your shop has measured.'
            : 'Your shop’s own figures.'}{' '}
          Money is in {figures.currency}. Panel layouts are suggested by these costs.
        </p>
        <CardFigures
          card={card}
          unit={shop.displayUnit}
          set={(costCard, { path }) =>
            path === 'laborPerHour' ? setFigures({ laborPerHour: costCard.laborPerHour }) : set({ costCard })
          }
        />
        <Button isDisabled={!shop.costCard} onClick={() => void set({ costCard: undefined })}>
          Back to the built-in figures
        </Button>
      </Section>
      <Section title="From your last jobs">
        <ProposedFigures />
      </Section>
      <Section title="Prices">
        <PriceFields prices={shop.prices} currency={figures.currency} set={(prices) => set({ prices })} />
      </Section>
      <Section title="Times and ink">
        <p class="quiet">For the estimates of production. Guesses until you replace them.</p>
        <ShopFigureFields
          figures={figures}
          unit={shop.displayUnit}
          set={(_label, { figures: changed }) => setFigures(changed ?? {})}
        />
      </Section>
    </>
  );
}

export function ShopHours({ shop, set }: ShopFieldsProps) {
  const setProduction: SetProductionDefaults = (_label, change) =>
    set({ production: { ...shop.production, ...change } });
  const { figures } = shop.production;
  const fields = { settings: shop.production, set: setProduction };
  return (
    <Section title="Drying and working hours">
      <InkField {...fields} />
      <RestFields {...fields} />
      <p class="quiet">Hours as 07:30-12:00, 12:45-16:30; an empty day is a day off.</p>
      <WorkingHoursFields {...fields} />
      <p class="quiet">For the week: who installs on one vehicle together, and what stands on the floor.</p>
      <CountField
        label="People who install together"
        value={figures.installers ?? DEFAULT_INSTALLERS}
        most={20}
        onChange={(installers) => setProduction('', { figures: { ...figures, installers } })}
      />
      <CountField label="Bays" value={shop.bays ?? 1} most={MOST_BAYS} onChange={(bays) => set({ bays })} />
      <CountField
        label="Laminators"
        value={shop.laminators ?? 1}
        most={20}
        onChange={(laminators) => set({ laminators })}
      />
    </Section>
  );
}

interface CountFieldProps {
  readonly label: string;
  readonly value: number;
  readonly most: number;
  onChange(value: number): string | undefined;
}

function CountField({ label, value, most, onChange }: CountFieldProps) {
  return (
    <NumberField
      label={label}
      value={value}
      onChange={(count) =>
        Number.isInteger(count) && count >= 1 && count <= most
          ? onChange(count)
          : `Enter a whole number from 1 to ${most}.`
      }
    />
  );
}

/** Beside the cost card, because that is where they are wanted. */
function ProposedFigures() {
  const [figures, setFigures] = useState<readonly OwnFigure[]>();
  useEffect(() => {
    void ask('reports:read', {}).then((read) =>
      read.ok ? setFigures(read.value.figures) : showProblem(read.problem),
    );
  }, []);
  return figures ? <OwnFigures figures={figures} /> : null;
}
