/** The nesting of several jobs that print on one film together. */

import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf } from '../drawing/text-block.ts';
import { jobFilm } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import { vehicleText } from '../job/vehicles.ts';
import { jobLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { pairsOf } from '../measure/pairs.ts';
import { foundIn } from '../measure/present.ts';
import { jobProduction } from '../production/job-production.ts';
import { onSharedFilm, type SharedRolls } from '../production/shared-rolls.ts';
import { rollRulesFromPrinter } from '../rolls/from-job.ts';
import { sentLength } from '../rolls/roll-lengths.ts';
import { printOrderOf } from '../rolls/roll-use.ts';
import { dateText } from '../shop/date-text.ts';
import { type Cell, listBlock, TICK_BOX, tableBlock } from './blocks.ts';
import { columnPages, isTwoColumns } from './column-pages.ts';
import { findingEntries } from './finding-entries.ts';
import { type FlowBlock, flowed } from './flow.ts';
import { bodyRect, ownerText, type Sheet, type SheetSubject } from './page-frame.ts';
import { rollPlanBlock, rollPlanScales } from './roll-plan-block.ts';
import { type SheetContext, sheetContext } from './sheet-context.ts';
import { sheetFilmDifference, sheetFilmLength, sheetLength, sheetSize, UNIT_NAME } from './sheet-length.ts';
import { SHEET_SIZES } from './sheet-size.ts';
import { sheetsWithTexts } from './text-pages.ts';

export const ROLL_PLAN = 'Nesting sheet';
const PLAN_SHARE = 0.5;

/** A nesting per film, on the sheet of the first job, with its length unit, date and author. */
export function sharedRollPlan(
  jobs: readonly [Job, ...Job[]],
  films: readonly SharedRolls[],
  fonts: FontMetrics,
): readonly Sheet[] {
  const [first] = jobs;
  const context = sheetContext(first, fonts, { ...SHEET_SIZES[first.output.mapSheet], textMm: 3.5 });
  const body = bodyRect(context.size);
  const count = isTwoColumns(body) ? 2 : 1;
  const pages = films.flatMap((shared) => {
    const title = `${ROLL_PLAN} · ${shared.film} · ${jobs.length} ${jobs.length === 1 ? 'job' : 'jobs'}`;
    const columns = columnPages(context, title, count);
    flowed(planBlocks(context, jobs, shared, body.width / count - 4, body.height), columns.next);
    return columns.pages;
  });
  return sheetsWithTexts(context, ROLL_PLAN, pages, jobsSubject(jobs));
}

function jobsSubject(jobs: readonly [Job, ...Job[]]): SheetSubject {
  const [first, ...others] = jobs;
  return {
    owner: listText(onceEach(jobs.flatMap(({ shop }) => ownerText(shop) || []))),
    customer: listText(onceEach(jobs.map(({ customer }) => customer))),
    number: others.length === 0 ? first.number : `${first.number} and ${others.length} more`,
    unit: listText(onceEach(jobs.map(vehicleText))),
  };
}

const onceEach = (texts: readonly string[]): string[] => [...new Set(texts)];

function planBlocks(
  context: SheetContext,
  jobs: readonly Job[],
  shared: SharedRolls,
  widthMm: number,
  heightMm: number,
): FlowBlock[] {
  const { plan, rolls } = shared;
  const uses = plan.uses.map((use) => ({ use, roll: foundIn(rolls, ({ id }) => id === use.rollId) }));
  const ofJobs = shared.jobs.flatMap(({ findings }) => findings);
  const entries = [
    // Each job has the findings of its sides.
    ...pairsOf(shared.jobs, jobs).flatMap(([{ findings }, job]) =>
      findingEntries(job, jobLayout(job), findings),
    ),
    ...findingEntries(
      context.job,
      [],
      plan.findings.filter((finding) => !ofJobs.includes(finding)),
    ),
  ];
  const unit = UNIT_NAME[context.job.displayUnit];
  return [
    tableBlock(
      context,
      'Jobs on this film',
      [
        { head: 'Job', share: 0.18 },
        { head: 'Name, customer', share: 0.34 },
        { head: 'Date', share: 0.14 },
        { head: 'Files', share: 0.16 },
        { head: 'RIP scale along', share: 0.18 },
      ],
      pairsOf(shared.jobs, jobs).map(([{ mark, name, customer, filmId }, job]): Cell[] => [
        { text: mark, style: styleOf('bold', 3.5) },
        { text: `${name}, ${customer}` },
        { text: dateText(job.date, job.dateOrder) },
        { text: factorText(job) },
        { text: feedText(job, filmId) },
      ]),
    ),
    listBlock(context, 'Printing', [
      { mark: '·', text: savingText(context.job, jobs, shared) },
      {
        mark: '·',
        text: `Print from this sheet: it takes the place of the nesting on ${shared.jobs.length === 1 ? 'the ticket of this job' : 'the tickets of these jobs'}.`,
      },
    ]),
    ...(entries.length > 0 ? [listBlock(context, 'Findings', entries)] : []),
    ...(uses.length > 0
      ? [rollPlanBlock(context, uses, rollPlanScales(context, uses, widthMm, heightMm * PLAN_SHARE)[0])]
      : []),
    tableBlock(
      context,
      `Print in this order, lengths in ${unit}`,
      [
        { head: '', share: 0.05 },
        { head: 'Job and panel', share: 0.29 },
        { head: 'Size on roll', share: 0.2 },
        { head: 'Roll', share: 0.07, anchor: 'middle' },
        { head: 'From start', share: 0.14 },
        { head: 'Sent length', share: 0.17 },
        { head: 'By', share: 0.08 },
      ],
      printRows(context, shared),
    ),
  ];
}

const factorText = ({ output: { size } }: Job): string =>
  size.kind === 'reduction' ? `ENLARGE ×${size.factor}` : 'print at 100 %';

function feedText(job: Job, filmId: string): string {
  const { printer } = jobFilm(job, filmId);
  const percent = rollRulesFromPrinter(printer).feedCompensationPercent;
  return percent === 0 ? '100 %' : `${(100 + percent).toFixed(2)} %`;
}

/** Film saved by sharing compared with separate jobs, or that none is saved. */
function savingText({ displayUnit }: Job, jobs: readonly Job[], { plan, jobs: marked }: SharedRolls): string {
  const usedOf = (uses: SharedRolls['plan']['uses']) =>
    uses.reduce((sum, { usedLengthMm }) => sum + usedLengthMm, 0);
  const apartMm = pairsOf(marked, jobs)
    .map(([{ filmId }, job]) => onSharedFilm({ job, layouts: jobLayout(job) }, filmId))
    .reduce((sum, { job, layouts }) => sum + usedOf(jobProduction(job, layouts).plan.uses), 0);
  const togetherMm = usedOf(plan.uses);
  const [apart, together] = [apartMm, togetherMm].map((mm) => sheetFilmLength(mm, displayUnit));
  return apartMm - togetherMm >= LEAST_SAVING_MM
    ? `Together ${together} of film, one job after the other ${apart}: sharing saves ${sheetFilmDifference(apartMm, togetherMm, displayUnit)}.`
    : `Together ${together} of film, one job after the other ${apart}: sharing saves nothing here.`;
}

/** A smaller saving does not justify making two jobs wait for each other. */
const LEAST_SAVING_MM = 100;

function printRows({ job }: SheetContext, { plan, rules }: SharedRolls): Cell[][] {
  const rolls = plan.uses.map(({ rollId }) => rollId);
  return printOrderOf(plan.uses).map(({ item, place, size }): Cell[] => [
    TICK_BOX,
    { text: item.label, style: styleOf('bold', 4) },
    { text: sheetSize({ width: item.widthMm, height: item.lengthMm }, job.displayUnit) },
    { text: String(rolls.indexOf(place.rollId) + 1) },
    { text: sheetFilmLength(place.yMm, job.displayUnit) },
    {
      text: `${sheetLength(sentLength(size.along, rules), job.displayUnit)}${place.turned ? ', turned' : ''}`,
    },
  ]);
}
