/** Estimates of film, ink, time and cost on the ticket, each with its inputs. */
import { styleOf } from '../drawing/text-block.ts';
import type { TicketParts } from '../job/schema.ts';
import { MM_PER_FOOT } from '../measure/units.ts';
import type { Estimate, JobEstimates } from '../production/estimate.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { type Cell, type TableColumn, tableBlock } from './blocks.ts';
import type { FlowBlock } from './flow.ts';
import type { SheetContext } from './sheet-context.ts';
import type { DisplayUnit } from './sheet-length.ts';

const ESTIMATE_COLUMNS: readonly TableColumn[] = [
  { head: 'What', share: 0.2 },
  { head: 'Estimate', share: 0.22, anchor: 'end' },
  { head: 'Worked out from', share: 0.58 },
];

export function estimatesBlock(
  context: SheetContext,
  production: FilmProduction,
  { estimates: hasEstimates = false, cost: hasCost = false }: TicketParts,
): FlowBlock {
  const rows = estimateRows(production, context.job.displayUnit, { hasEstimates, hasCost });
  return tableBlock(context, 'Estimates: worked out from the job, not measured', ESTIMATE_COLUMNS, [
    ...(hasEstimates ? coverageRows(production) : []),
    ...rows,
  ]);
}

/** Totals for all films of the job. */
export const togetherBlock = (
  context: SheetContext,
  { coverage }: FilmProduction,
  estimates: JobEstimates,
  { estimates: hasEstimates = false, cost: hasCost = false }: TicketParts,
): FlowBlock =>
  tableBlock(
    context,
    'Estimates of all films together',
    ESTIMATE_COLUMNS,
    estimateRows({ estimates, coverage }, context.job.displayUnit, { hasEstimates, hasCost }),
  );

/** Ink coverage, with its source. */
function coverageRows({ coverage: { worst, mean, panels, unmeasured } }: FilmProduction): Cell[][] {
  const window = `${numberFor(panels[0]?.windowMm2 ?? 0)} mm²`;
  const parts = [
    worst && `worst about ${numberFor(worst.percent)} %`,
    mean && `mean about ${numberFor(mean.percent)} %`,
  ].filter((part) => part !== undefined);
  const entered = [worst?.source === 'entered' && 'worst', mean?.source === 'entered' && 'mean'].filter(
    Boolean,
  );
  const sources = [
    ...(entered.length > 0 ? [`${entered.join(' and ')} as entered`] : []),
    ...(worst?.source === 'file' ? [`worst ${window} on ${worst.label ?? ''}`] : []),
    ...(entered.length < parts.length ? ['computed from the file, not from the press'] : []),
  ];
  const row: Cell[][] =
    parts.length === 0
      ? []
      : [
          [
            { text: 'Ink coverage' },
            { text: parts.join(', '), style: styleOf('bold', 3.5) },
            { text: sources.join('; ') },
          ],
        ];
  return [
    ...row,
    ...unmeasured.map(({ sideCode, reason }): Cell[] => [
      { text: `Ink of ${sideCode}` },
      { text: 'not known' },
      { text: reason },
    ]),
  ];
}

/** Each estimate with its inputs. */
function estimateRows(
  { estimates, coverage }: Pick<FilmProduction, 'estimates' | 'coverage'>,
  system: DisplayUnit,
  { hasEstimates, hasCost }: { readonly hasEstimates: boolean; readonly hasCost: boolean },
): Cell[][] {
  const quantities: readonly (Estimate | undefined)[] = [
    estimates.film,
    estimates.waste,
    estimates.laminate,
    estimates.ink,
    estimates.printTime,
    estimates.laminationTime,
    estimates.trimTime,
    estimates.packTime,
    estimates.installTime,
  ];
  const all = [...(hasEstimates ? quantities : []), ...(hasCost ? [estimates.cost] : [])];
  const rows = all.flatMap((estimate): Cell[][] => {
    if (!estimate) return [];
    const said = (value: number, unit: string): string => {
      const { value: shown, unit: inSystem } = quantityIn(system, value, unit);
      return `${numberFor(shown)} ${inSystem}`.trim();
    };
    const unit = estimate.unit === 'money' ? estimates.currency : estimate.unit;
    // A missing price is not a price of zero.
    const inputs = estimate.inputs.map(({ name, value, unit: of }) =>
      estimate.unit === 'money' && value === 0
        ? `${name} without a price`
        : `${name} ${said(value, of)}`.trim(),
    );
    return [
      [
        { text: estimate.name },
        { text: `about ${said(estimate.value, unit)}`, style: styleOf('bold', 3.5) },
        { text: inputs.join(', ') },
      ],
    ];
  });
  if (hasEstimates && !estimates.ink && coverage.unmeasured.length === 0)
    rows.push([{ text: 'Ink' }, { text: 'not known' }, { text: 'coverage has not been measured' }]);
  return rows;
}

const FEET_PER_M = 1000 / MM_PER_FOOT;

/** A shop quantity in the job's units. */
function quantityIn(system: DisplayUnit, value: number, unit: string): { value: number; unit: string } {
  if (system === 'mm') return { value, unit };
  if (unit.startsWith('m²')) return { value: value * FEET_PER_M ** 2, unit: unit.replace('m²', 'ft²') };
  if (unit === 'ml/m²') return { value: value / FEET_PER_M ** 2, unit: 'ml/ft²' };
  return unit === 'm' || unit === 'm/h'
    ? { value: value * FEET_PER_M, unit: unit.replace('m', 'ft') }
    : { value, unit };
}

/** An estimate is shown with three figures; above 100 in whole numbers. */
const numberFor = (value: number): string =>
  Math.abs(value) >= 100 ? Math.round(value).toString() : Number(value.toPrecision(3)).toString();
