import { styleOf } from '../drawing/text-block.ts';
import { filmBase } from '../job/film-base.ts';
import { panelDayText } from '../job/install-days.ts';
import type { Film, Job } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { jobStrips } from '../production/job-strips.ts';
import { colorStripItemId } from '../production/strip-production.ts';
import { sentLength } from '../rolls/roll-lengths.ts';
import { printOrderOf } from '../rolls/roll-use.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import { itemPanelId, type PackItem } from '../shop/rolls.ts';
import { FILM_KIND_NAMES } from '../shop/shelf.ts';
import { type Cell, TICK_BOX } from './blocks.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetFilmLength, sheetLength, sheetSize } from './sheet-length.ts';

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
  const base = filmBase({ film: job.film, production: settings });
  const kindText = (use: string, { kind, finish }: Film) =>
    [FILM_KIND_NAMES[kind], finish, use === 'Film' && base !== 'white' && base].filter(Boolean).join(', ');
  const row = (
    use: 'Film' | 'Laminate',
    material: Film | undefined,
    field: 'filmLot' | 'laminateLot',
  ): Cell[] => [
    { text: use, style: styleOf('bold', 3.5) },
    { text: material ? material.name : 'none' },
    { text: material ? kindText(use, material) : '' },
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
  { plan, rules, rolls, items, coverage, before }: FilmProduction,
): Cell[][] {
  const unit = job.displayUnit;
  const filmOf = new Map<string, Panel['film']>(
    layouts.flatMap(({ panels }) => panels.map(({ id, film }) => [id, film] as const)),
  );
  if (strip) filmOf.set(itemPanelId(colorStripItemId(job)), strip.film);
  const inkOf = new Map(
    coverage.panels.map(({ panelId, meanPercent, worstPercent }) => [
      panelId,
      `${Math.round(meanPercent)} / ${Math.round(worstPercent)} %`,
    ]),
  );
  const used = plan.uses.map(({ rollId }) => rollId);
  const placed = printOrderOf(plan.uses).map(({ item, place, size }): Cell[] => {
    const film = filmOf.get(itemPanelId(item.panelId));
    const rollNumber = (before?.rolls ?? 0) + used.indexOf(place.rollId) + 1;
    return [
      TICK_BOX,
      { text: itemNamed(job, item), style: styleOf('bold', 4) },
      { text: film ? sheetSize(film, unit) : '' },
      { text: rolls.length > 0 ? String(rollNumber) : '' },
      { text: sheetFilmLength(place.yMm, unit) },
      { text: `${sheetLength(sentLength(size.along, rules), unit)}${place.turned ? ', turned' : ''}` },
      { text: inkOf.get(itemPanelId(item.panelId)) ?? '' },
    ];
  });
  const unplaced = items
    .filter(({ panelId }) => plan.unplacedPanelIds.includes(panelId))
    .map(({ panelId, label, widthMm, lengthMm }): Cell[] => [
      TICK_BOX,
      { text: label, style: styleOf('bold', 4) },
      { text: sheetSize(filmOf.get(itemPanelId(panelId)) ?? { width: widthMm, height: lengthMm }, unit) },
      { text: 'none' },
      { text: 'no room' },
      { text: 'see warnings' },
      { text: inkOf.get(itemPanelId(panelId)) ?? '' },
    ]);
  return [...placed, ...unplaced];
}

/** Its label; with the day on which it is installed, where there are several. */
export const itemNamed = (job: Job, item: PackItem): string =>
  [item.label, panelDayText(job, item)].filter((text) => text !== undefined).join(' · ');

/** The files of a job that is printed strip by strip, in print order. */
export function stripRows({ job }: SheetContext, production: FilmProduction): Cell[][] {
  const unit = job.displayUnit;
  return jobStrips(job, production).map(({ fileName, strip }): Cell[] => [
    TICK_BOX,
    { text: fileName },
    { text: sheetFilmLength(strip.startMm, unit) },
    { text: sheetFilmLength(sentLength(strip.endMm - strip.startMm, production.rules), unit) },
    { text: strip.bands.flatMap(({ panels }) => panels.map(({ item }) => item.label)).join(', ') },
  ]);
}
