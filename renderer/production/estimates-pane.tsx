/** What the job will take, each figure with what it was worked out from, and the shop's own figures below. */
import type { JobEstimates } from '../../core/production/estimate.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import { TextField } from '../parts/field.tsx';
import { NumberField } from '../parts/number-field.tsx';
import { Facts, Section } from '../parts/section.tsx';
import { estimateList, estimateText, inputText } from './estimate-words.ts';
import { setProduction } from './production-state.ts';
import { ShopFigureFields } from './shop-figure-fields.tsx';

interface EstimatesPaneProps {
  readonly made: FilmProduction | undefined;
  /** Of all films, where the job has several. */
  readonly together: JobEstimates | undefined;
  readonly settings: ProductionSettings;
  readonly unit: 'mm' | 'in';
}

const EstimateList = ({
  estimates,
  unit,
}: {
  readonly estimates: JobEstimates;
  readonly unit: 'mm' | 'in';
}) => (
  <div class="estimates">
    {estimateList(estimates).map((estimate) => (
      <details key={estimate.name} class="estimate">
        <summary>
          <span>{estimate.name}</span>
          <strong>≈ {estimateText(estimate, estimates.currency, unit)}</strong>
        </summary>
        <Facts rows={estimate.inputs.map((input) => [input.name, inputText(input, unit)] as const)} />
      </details>
    ))}
  </div>
);

export function EstimatesPane({ made, together, settings, unit }: EstimatesPaneProps) {
  const { figures } = settings;
  return (
    <>
      <Section title="Estimates">
        <p class="quiet">Every figure is an estimate. Open one to see what it was worked out from.</p>
        {made && <EstimateList estimates={made.estimates} unit={unit} />}
        {made && !made.estimates.ink && (
          <p class="quiet">Ink is not counted: the coverage is neither computed nor entered; see Drying.</p>
        )}
        {!settings.film && (
          <p class="quiet">
            Film is counted at the price of the cost card: none is selected from the shelf under Materials.
          </p>
        )}
      </Section>
      {together && (
        <Section title="All films together">
          <EstimateList estimates={together} unit={unit} />
        </Section>
      )}
      <Section title="The shop’s figures">
        <p class="quiet">Guesses from common practice until your shop replaces them. Kept with the job.</p>
        <ShopFigureFields figures={figures} unit={unit} set={setProduction} />
        <NumberField
          label="Labor, an hour"
          value={figures.laborPerHour}
          leastDecimals={2}
          onChange={(laborPerHour) =>
            setProduction('Change the labor rate', { figures: { ...figures, laborPerHour } })
          }
        />
        <TextField
          label="Currency"
          value={figures.currency}
          onChange={(currency) =>
            void setProduction('Change the currency', { figures: { ...figures, currency: currency.trim() } })
          }
        />
      </Section>
    </>
  );
}
