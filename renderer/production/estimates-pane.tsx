/** What the job will take, each figure with what it was worked out from, and the shop's own figures below. */
import { type FigureUnit, figureLabel, figureShown, figureStored } from '../../core/measure/figure-units.ts';
import type { JobProduction } from '../../core/production/job-production.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import type { ShopFigures } from '../../core/shop/shop-figures.ts';
import { TextField } from '../parts/field.tsx';
import { NumberField } from '../parts/number-field.tsx';
import { Facts, Section } from '../parts/section.tsx';
import { estimateList, estimateText, inputText } from './estimate-words.ts';
import { setProduction } from './production-state.ts';

interface EstimatesPaneProps {
  readonly made: JobProduction | undefined;
  readonly settings: ProductionSettings;
  readonly unit: 'mm' | 'in';
}

export function EstimatesPane({ made, settings, unit }: EstimatesPaneProps) {
  return (
    <>
      <Section title="Estimates">
        <p class="quiet">Every figure is an estimate. Open one to see what it was worked out from.</p>
        {made && (
          <div class="estimates">
            {estimateList(made.estimates).map((estimate) => (
              <details key={estimate.name} class="estimate">
                <summary>
                  <span>{estimate.name}</span>
                  <strong>≈ {estimateText(estimate, made.estimates.currency, unit)}</strong>
                </summary>
                <Facts rows={estimate.inputs.map((input) => [input.name, inputText(input, unit)] as const)} />
              </details>
            ))}
          </div>
        )}
        {made && !made.estimates.ink && (
          <p class="quiet">Ink is not counted: the coverage is neither computed nor entered; see Drying.</p>
        )}
        {!settings.film && (
          <p class="quiet">
            Film is counted at the price of the cost card: none is chosen from the shelf under Materials.
          </p>
        )}
      </Section>
      <ShopFigureFields settings={settings} unit={unit} />
    </>
  );
}

const FIGURES = [
  ['printM2PerHour', 'Printing, m² an hour', 'm²'],
  ['printSetupMinutes', 'Setting up a roll to print, min'],
  ['laminationMetersPerHour', 'Laminating, m an hour', 'm'],
  ['laminationSetupMinutes', 'Setting up a roll to laminate, min'],
  ['laminateLossMm', 'Laminate lost at each start, mm', 'mm'],
  ['trimMinutesPerPanel', 'Trimming a panel, min'],
  ['packMinutesPerPanel', 'Packing a panel, min'],
  ['inkMlPerM2', 'Ink at 100 % coverage, ml a m²', 'per m²'],
  ['inkPricePerLitre', 'Ink, a liter'],
  ['laborPerHour', 'Labor, an hour'],
] as const satisfies readonly (readonly [keyof ShopFigures, string, FigureUnit?])[];

function ShopFigureFields({ settings: { figures }, unit }: Omit<EstimatesPaneProps, 'made'>) {
  return (
    <Section title="The shop’s figures">
      <p class="quiet">Guesses from common practice until your shop replaces them. Kept with the job.</p>
      {FIGURES.map(([key, label, of]) => (
        <NumberField
          key={key}
          label={figureLabel(label, unit)}
          value={of ? figureShown(figures[key], of, unit) : figures[key]}
          onChange={(value) =>
            setProduction('Change a figure of the shop', {
              figures: { ...figures, [key]: of ? figureStored(value, of, unit) : value },
            })
          }
        />
      ))}
      <TextField
        label="Currency"
        value={figures.currency}
        onChange={(currency) =>
          void setProduction('Change the currency', { figures: { ...figures, currency: currency.trim() } })
        }
      />
    </Section>
  );
}
