/** What a shop does in an hour and takes for a panel, as a job and its shop have it. The labor rate has fields of its own. */
import {
  type FigureUnit,
  figureInField,
  figureLabel,
  figureStored,
} from '../../core/measure/figure-units.ts';
import type { ProductionDefaults } from '../../core/shop/production-settings.ts';
import { DEFAULT_USUAL_COVERAGE_PERCENT, type ShopFigures } from '../../core/shop/shop-figures.ts';
import { NumberField } from '../parts/number-field.tsx';

/** Changes what production counts with; returns the sentence why not. */
export type SetProductionDefaults = (
  label: string,
  change: Partial<ProductionDefaults>,
) => string | undefined;

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
] as const satisfies readonly (readonly [keyof ShopFigures, string, FigureUnit?])[];

interface ShopFigureFieldsProps {
  readonly figures: ShopFigures;
  readonly unit: 'mm' | 'in';
  readonly set: SetProductionDefaults;
}

export function ShopFigureFields({ figures, unit, set }: ShopFigureFieldsProps) {
  return (
    <>
      {FIGURES.map(([key, label, of]) => (
        <NumberField
          key={key}
          label={figureLabel(label, unit)}
          value={of ? figureInField(figures[key], of, unit) : figures[key]}
          onChange={(value) =>
            set('Change a figure of the shop', {
              figures: { ...figures, [key]: of ? figureStored(value, of, unit) : value },
            })
          }
        />
      ))}
      <NumberField
        label="Usual coverage before there is artwork, %"
        value={figures.usualCoveragePercent ?? DEFAULT_USUAL_COVERAGE_PERCENT}
        onChange={(usualCoveragePercent) =>
          set('Change a figure of the shop', { figures: { ...figures, usualCoveragePercent } })
        }
      />
    </>
  );
}
