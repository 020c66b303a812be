/** Runs all layout checks: most serious findings first, then in the order of the sides. */
import type { Acknowledgement, Job } from '../../job/schema.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { type Finding, findingKey, type Severity } from '../finding.ts';
import { approvalFindings } from './approval-findings.ts';
import { arrivalFindings } from './arrival-findings.ts';
import { artworkFindings, sharedArtworkFindings, sideArtworkFindings } from './artwork-findings.ts';
import { CHECK_IN_OFF, checkInFindings } from './check-in-findings.ts';
import { doorFindings } from './door-findings.ts';
import { type FindingFacts, sideContext } from './finding-context.ts';
import { gapFindings } from './gap-findings.ts';
import { groundFindings } from './ground-findings.ts';
import { jointFindings } from './joint-findings.ts';
import { noFilmAreaFindings } from './no-film-area-findings.ts';
import { outputFindings } from './output-findings.ts';
import { panelFindings } from './panel-findings.ts';
import { seamPlaceFindings } from './seam-place-findings.ts';
import { seamShapeFindings } from './seam-shape-findings.ts';
import { windowFindings } from './window-findings.ts';

export type { FindingFacts } from './finding-context.ts';

/** All findings about one side. */
export function sideFindings(job: Job, layout: SideLayout, facts: FindingFacts = {}): Finding[] {
  const context = sideContext(job, layout, facts);
  const ofArtwork = sideArtworkFindings(context);
  const isSizeOff = ofArtwork.some(({ code }) => code === 'side-scale' || code === 'side-proportion');
  return findingsSorted([
    ...ofArtwork,
    ...checkInFindings(context, isSizeOff),
    ...panelFindings(context),
    ...jointFindings(context),
    ...seamPlaceFindings(context),
    ...seamShapeFindings(context),
    ...doorFindings(context),
    ...gapFindings(context),
    ...groundFindings(context),
    ...noFilmAreaFindings(context),
    ...windowFindings(context),
  ]);
}

/**
 * All findings of layouts. `layouts` come from jobLayout, with the page sizes if known; `facts` come from the artwork
 * file.
 */
export function layoutFindings(
  job: Job,
  layouts: readonly SideLayout[],
  facts: FindingFacts = {},
): Finding[] {
  return findingsSorted([
    ...artworkFindings(job, facts),
    ...approvalFindings(job),
    ...outputFindings(job, layouts),
    ...arrivalFindings(job, layouts),
    ...sharedArtworkFindings(job),
    ...layouts.flatMap((layout) => sideFindings(job, layout, facts)),
  ]);
}

const RANK: Readonly<Record<Severity, number>> = { stop: 0, warn: 1, note: 2 };

export const findingsSorted = (findings: readonly Finding[]): Finding[] =>
  findings.toSorted((a, b) => RANK[a.severity] - RANK[b.severity]);

/** Smaller changes of a figure do not count: no tape or percentage on a sheet shows them. */
const SAME_FIGURE = 0.05;

/** The acknowledgement that covers a finding, with the figure that is accepted. */
export function acknowledgementOf(finding: Finding, by: string, note: string): Acknowledgement {
  const { figure } = finding;
  return { finding: findingKey(finding), by, note, ...(figure === undefined ? {} : { figure }) };
}

/** Whether this finding was acknowledged at its present figure. A stop cannot be acknowledged. Keeps FND4. */
export function isAcknowledged(job: Job, finding: Finding): boolean {
  if (finding.severity !== 'warn') return false;
  const given = job.acknowledgements.find((candidate) => candidate.finding === findingKey(finding));
  if (!given) return false;
  // A vehicle that differs from its drawing must be acknowledged by name.
  if (finding.code === CHECK_IN_OFF && given.by.trim() === '') return false;
  if (given.figure === undefined || finding.figure === undefined) return true;
  return Math.abs(given.figure - finding.figure) <= SAME_FIGURE;
}

/** The findings that block the writing of panels: every stop, and each warning that is not acknowledged. Keeps FND2. */
export const findingsBlock = (job: Job, findings: readonly Finding[]): Finding[] =>
  findings.filter(
    (finding) =>
      finding.severity === 'stop' || (finding.severity === 'warn' && !isAcknowledged(job, finding)),
  );
