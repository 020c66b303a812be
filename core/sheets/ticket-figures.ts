import { styleOf } from '../drawing/text-block.ts';
import type { Film, Job } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { MM_PER_FOOT } from '../measure/units.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import type { Estimate } from '../production/estimate.ts';
import type { JobProduction } from '../production/job-production.ts';
import { jobStrips } from '../production/job-strips.ts';
import { colorStripItemId } from '../production/strip-production.ts';
import { sentLength } from '../rolls/roll-lengths.ts';
import { printOrderOf } from '../rolls/roll-use.ts';
import type { DateOrder } from '../shop/date-order.ts';
import { localTimeText, minutesFromLocal } from '../shop/local-time.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import { FILM_KIND_NAMES } from '../shop/shelf.ts';
import { type Cell, TICK_BOX } from './blocks.ts';
import type { SheetContext } from './sheet-context.ts';
import { type DisplayUnit, sheetFilmLength, sheetLength, sheetSize } from './sheet-length.ts';

const HALF_HOUR = 30;

/** An estimated moment as people say it, rounded up to the half hour: more would promise too much. */
export const momentText = (local: string, order: DateOrder | undefined): string =>
  localTimeText(Math.ceil(minutesFromLocal(local) / HALF_HOUR) * HALF_HOUR, order);

interface MaterialKnown {
  /** Of a reprint: what the first output was made with. */
  readonly first: ProductionRecord | undefined;
  /** What was entered of this output. */
  readonly record: ProductionRecord | undefined;
  readonly isReprint: boolean;
}

/** Film and laminate as chosen from the shelf, or else as the job names them; lot and roll numbers are filled in by hand. */
export function materialRows(
  job: Job,
  settings: ProductionSettings,
  { first, record = {}, isReprint }: MaterialKnown,
): Cell[][] {
  const row = (use: string, material: Film | undefined, field: 'filmLot' | 'laminateLot'): Cell[] => [
    { text: use, style: styleOf('bold', 3.5) },
    { text: material ? material.name : 'none' },
    { text: material ? [FILM_KIND_NAMES[material.kind], material.finish].filter(Boolean).join(', ') : '' },
    { text: (isReprint ? first : record)?.[field] ?? material?.lotNumber ?? '' },
    ...(isReprint ? [{ text: record[field] ?? '' }] : []),
  ];
  return [
    row('Film', settings.film ?? job.film, 'filmLot'),
    row('Laminate', settings.laminate ?? job.laminate, 'laminateLot'),
  ];
}

/** Panels as they come off the printer: where on which roll, and how long the file is sent. */
export function printRows(
  { job, strip }: SheetContext,
  layouts: readonly SideLayout[],
  { plan, rules, rolls, coverage }: JobProduction,
): Cell[][] {
  const unit = job.displayUnit;
  const filmOf = new Map<string, Panel['film']>(
    layouts.flatMap(({ panels }) => panels.map(({ id, film }) => [`${job.id}/${id}`, film] as const)),
  );
  if (strip) filmOf.set(colorStripItemId(job), strip.film);
  const inkOf = new Map(
    coverage.panels.map(({ panelId, meanPercent, worstPercent }) => [
      `${job.id}/${panelId}`,
      `${Math.round(meanPercent)} / ${Math.round(worstPercent)} %`,
    ]),
  );
  const used = plan.uses.map(({ rollId }) => rollId);
  const placed = printOrderOf(plan.uses).map(({ item, place, size }): Cell[] => {
    const film = filmOf.get(item.panelId);
    const rollNumber = used.indexOf(place.rollId) + 1;
    return [
      TICK_BOX,
      { text: item.label, style: styleOf('bold', 4) },
      { text: film ? sheetSize(film, unit) : '' },
      { text: rolls.length > 0 ? String(rollNumber) : '' },
      { text: sheetFilmLength(place.yMm, unit) },
      { text: `${sheetLength(sentLength(size.along, rules), unit)}${place.turned ? ', turned' : ''}` },
      { text: inkOf.get(item.panelId) ?? '' },
    ];
  });
  const unplaced = layouts.flatMap(({ panels }) =>
    panels
      .filter(({ id }) => plan.unplacedPanelIds.includes(`${job.id}/${id}`))
      .map((panel): Cell[] => [
        TICK_BOX,
        { text: panel.label, style: styleOf('bold', 4) },
        { text: sheetSize(panel.film, unit) },
        { text: 'none' },
        { text: 'no room' },
        { text: 'see warnings' },
        { text: inkOf.get(`${job.id}/${panel.id}`) ?? '' },
      ]),
  );
  return [...placed, ...unplaced];
}

/** The files of a job that is printed strip by strip, in print order. */
export function stripRows({ job }: SheetContext, production: JobProduction): Cell[][] {
  const unit = job.displayUnit;
  return jobStrips(job, production).map(({ fileName, strip }): Cell[] => [
    TICK_BOX,
    { text: fileName },
    { text: sheetFilmLength(strip.startMm, unit) },
    { text: sheetFilmLength(sentLength(strip.endMm - strip.startMm, production.rules), unit) },
    { text: strip.bands.flatMap(({ panels }) => panels.map(({ item }) => item.label)).join(', ') },
  ]);
}

/** Ink coverage, with where it is from. */
export function coverageRows({ coverage: { worst, mean, panels, unmeasured } }: JobProduction): Cell[][] {
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

/** Each estimate with what it was worked out from. */
export function estimateRows(
  { estimates, coverage }: JobProduction,
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
    // A price that nobody entered is no price of nothing.
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

/** A quantity of the shop in the system of the job. */
function quantityIn(system: DisplayUnit, value: number, unit: string): { value: number; unit: string } {
  if (system === 'mm') return { value, unit };
  if (unit.startsWith('m²')) return { value: value * FEET_PER_M ** 2, unit: unit.replace('m²', 'ft²') };
  if (unit === 'ml/m²') return { value: value / FEET_PER_M ** 2, unit: 'ml/ft²' };
  return unit === 'm' || unit === 'm/h'
    ? { value: value * FEET_PER_M, unit: unit.replace('m', 'ft') }
    : { value, unit };
}

/** Three figures are as much as an estimate deserves; whole numbers above 100. */
const numberFor = (value: number): string =>
  Math.abs(value) >= 100 ? Math.round(value).toString() : Number(value.toPrecision(3)).toString();
