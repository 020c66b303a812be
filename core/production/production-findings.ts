/** What speaks against how a job is to be printed, dried and laminated. */
import { type Finding, finding, findingKey, type Place } from '../findings/finding.ts';
import { kindPairingFindings, pairingFindings } from '../findings/pairing.ts';
import { filmBase } from '../job/film-base.ts';
import { hasSeveralFilms, jobFilms, jobOnFilm } from '../job/job-films.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Job } from '../job/schema.ts';
import { isFleet } from '../job/vehicles.ts';
import { layoutsOnFilm } from '../layout/film-layouts.ts';
import { groundStretches, isPanelOver, stretchLimits } from '../layout/ground-stretch.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { firstOf } from '../measure/present.ts';
import { daysOutOfOrder } from '../rolls/staged-plan.ts';
import { dateText } from '../shop/date-text.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import { itemPanelId, type RollStock } from '../shop/rolls.ts';
import { isPastUseBy } from '../shop/stock-text.ts';
import type { FilmProduction } from './film-production.ts';
import { coverageInUse, jobCoverageFindings, type MeasuredCoverage } from './job-coverage.ts';
import { filmProductions, type JobProduction } from './job-production.ts';
import { printsBothWays, sidesPrintedBothWays } from './job-rolls.ts';

export interface ProductionKnown {
  readonly job: Job;
  /** Of the panels that are printed. */
  readonly layouts: readonly SideLayout[];
  /** Ink coverage as computed from the artwork; absent where it was not computed yet. */
  readonly measured?: MeasuredCoverage;
  /** Absent where it was not derived yet: then only what the roll plan and the clock say is missing. */
  readonly production?: JobProduction;
}

/** Film by film: what a job of one film says, and of a job with several which film it says it of. */
export function productionFindings({ job, layouts, measured, production }: ProductionKnown): Finding[] {
  if (!hasSeveralFilms(job)) return filmFindings({ job, layouts, measured, production });
  return jobFilms(job).flatMap(({ id, letter }) => {
    const onFilm = layoutsOnFilm(job, layouts, id);
    if (onFilm.length === 0) return [];
    const made = production && filmProductions(production).find(({ filmId }) => filmId === id);
    return filmFindings({ job: jobOnFilm(job, id), layouts: onFilm, measured, production: made }).map(
      (finding) => ofFilm(finding, id, letter),
    );
  });
}

/** What names no panel says which film it is about. */
function ofFilm(finding: Finding, filmId: string, letter: string): Finding {
  if (finding.where.panelId !== undefined) return finding;
  return { ...finding, message: `Film ${letter}: ${finding.message}`, where: { ...finding.where, filmId } };
}

interface FilmKnown {
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
  readonly measured: MeasuredCoverage | undefined;
  readonly production: Pick<FilmProduction, 'plan' | 'clock'> | undefined;
}

/** Rolls, ink and clock of a job that was never opened for production are looked at only where they were derived. */
function filmFindings({ job, layouts, measured, production }: FilmKnown): Finding[] {
  const settings = jobProductionSettings(job);
  const ofMaterials = [...materialFindings(job, layouts, settings), ...mirrorFindings(job)];
  if (!job.production && !production) return ofMaterials;
  const ofPlan = (production?.plan.findings ?? []).map((finding) => inJob(finding, job.id));
  return [
    ...ofMaterials,
    ...sidesPrintedBothWays(job, layouts, settings).map((layout) => printsBothWays(layout)),
    ...(isFleet(job) ? oncePerPanel(ofPlan) : ofPlan),
    ...pastUseByFindings(job, settings, production?.plan),
    ...jobCoverageFindings(job, layouts, coverageInUse(layouts, settings, measured)),
    ...(production?.clock?.findings ?? []),
    ...dayFindings(job, production?.plan),
  ];
}

function materialFindings(job: Job, layouts: readonly SideLayout[], settings: ProductionSettings): Finding[] {
  const { film, laminate, orderedFinish, promisedYears, overrides } = settings;
  if (!film) return kindPairingFindings(job.film, job.laminate, overrides);
  const hasDifficultGround = layouts.some(({ side, panels }) =>
    side.ground.some((ground) => panels.some((panel) => isPanelOver(panel, ground))),
  );
  const stretches = layouts.flatMap((layout) => groundStretches(layout, stretchLimits(job)));
  const order = { film, laminate, hasDifficultGround, promisedYears, orderedFinish, unit: job.displayUnit };
  return pairingFindings(
    stretches.length === 0
      ? order
      : { ...order, stretchPercent: Math.max(...stretches.map((stretch) => stretch.leastStretchPercent)) },
    overrides,
  );
}

/** WHT3: a mirrored print is looked at through its film. Keeps WHT3. */
function mirrorFindings(job: Job): Finding[] {
  const { name, mirror } = job.film;
  if (!mirror || filmBase(job) !== 'white') return [];
  return [
    finding(
      'mirror-on-white',
      'warn',
      {},
      `The print is to be mirrored, but nobody sees it through “${name}”, which is white.`,
      'Select a clear film, say at the film of the job that it is clear, or do not mirror.',
    ),
  ];
}

/** Rolls of the shelf that are used after the last day on which their maker answers for them. Keeps STK9. */
function pastUseByFindings(
  { date, dateOrder }: Job,
  { rolls, laminateRolls = [], printStart }: ProductionSettings,
  plan: JobProduction['plan'] | undefined,
): Finding[] {
  const printedOn = printStart?.slice(0, 10) ?? date;
  const isUsed = ({ id }: RollStock) => !plan || plan.uses.some(({ rollId }) => rollId === id);
  return [...rolls.filter(isUsed), ...laminateRolls].flatMap(({ label, onShelf }) =>
    onShelf?.useBy !== undefined && isPastUseBy(onShelf, printedOn)
      ? [
          finding(
            'roll-past-use-by',
            'warn',
            { rollId: onShelf.rollId },
            `${label} is used on ${dateText(printedOn, dateOrder)}, past its use by date, ${dateText(onShelf.useBy, dateOrder)}.`,
            'Take another roll, or ask its maker and print a test first.',
          ),
        ]
      : [],
  );
}

/** What is said of a panel for each vehicle of a fleet is said once, with how many more it holds for. */
function oncePerPanel(findings: readonly Finding[]): Finding[] {
  return [...Map.groupBy(findings, findingKey).values()].map((alike): Finding => {
    const first = firstOf(alike);
    const others = alike.length - 1;
    if (others === 0) return first;
    const more = others === 1 ? 'one more vehicle' : `${others} more vehicles`;
    return { ...first, message: `${first.message} So it is for ${more}.` };
  });
}

/** On rolls, ids begin with that of the job, because jobs may share a roll; in the job's own list they do not. */
function inJob(finding: Finding, jobId: string): Finding {
  const { sideId, panelId, itemId, ...where } = finding.where;
  const own = (id: string) => (id.startsWith(`${jobId}/`) ? itemPanelId(id) : id);
  const place: Place = {
    ...where,
    ...(sideId !== undefined && { sideId: own(sideId) }),
    ...(panelId !== undefined && { panelId: own(panelId) }),
    ...(itemId !== undefined && { itemId: own(itemId) }),
  };
  return { ...finding, where: place };
}

/** Only where panels were put in places by hand: the nesting itself prints day after day. */
function dayFindings(job: Job, plan: JobProduction['plan'] | undefined): Finding[] {
  const [first] = plan ? daysOutOfOrder(plan) : [];
  if (!first) return [];
  return [
    finding(
      'roll-days-mixed',
      'warn',
      {},
      `${first.late} prints before ${first.early}, and is installed on a later day.`,
      `Unlock the panels of job ${job.number} that were put by hand, and re-nest; or move ${first.early} forward.`,
    ),
  ];
}
