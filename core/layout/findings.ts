/** All checks of a job, gathered: the most serious first, otherwise in the order of the sides. */
import type { Job } from '../job/schema.ts';
import { type Finding, findingKey, type Severity } from './finding.ts';
import { artworkFindings, sharedArtworkFindings, sideArtworkFindings } from './findings/artwork-findings.ts';
import { type FindingFacts, sideContext } from './findings/finding-context.ts';
import { jointFindings } from './findings/joint-findings.ts';
import { openingFindings } from './findings/opening-findings.ts';
import { outputFindings } from './findings/output-findings.ts';
import { panelFindings } from './findings/panel-findings.ts';
import { seamPlaceFindings } from './findings/seam-place-findings.ts';
import type { SideLayout } from './side-layout.ts';

export type { FindingFacts } from './findings/finding-context.ts';

/** Everything that the checks of one side say. */
export function sideFindings(job: Job, layout: SideLayout, facts: FindingFacts = {}): Finding[] {
  const context = sideContext(job, layout, facts);
  return findingsSorted([
    ...sideArtworkFindings(context),
    ...panelFindings(context),
    ...jointFindings(context),
    ...seamPlaceFindings(context),
    ...openingFindings(context),
  ]);
}

/**
 * Everything that the checks of a job say. `layouts` are those of jobLayout, derived with the page sizes if
 * they are known; `facts` tell what was read from the artwork file.
 */
export function jobFindings(job: Job, layouts: readonly SideLayout[], facts: FindingFacts = {}): Finding[] {
  return findingsSorted([
    ...artworkFindings(job, facts),
    ...outputFindings(job, layouts),
    ...sharedArtworkFindings(job),
    ...layouts.flatMap((layout) => sideFindings(job, layout, facts)),
  ]);
}

const RANK: Readonly<Record<Severity, number>> = { stop: 0, warn: 1, note: 2 };

export const findingsSorted = (findings: readonly Finding[]): Finding[] =>
  findings.toSorted((a, b) => RANK[a.severity] - RANK[b.severity]);

/** Whether somebody has taken responsibility for this finding. Stops cannot be acknowledged away. */
export const isAcknowledged = (job: Job, finding: Finding): boolean =>
  finding.severity === 'warn' && job.acknowledgements.some((given) => given.finding === findingKey(finding));

/** The findings that keep panels from being written: every stop, and each warn that nobody acknowledged. */
export const findingsBlock = (job: Job, findings: readonly Finding[]): Finding[] =>
  findings.filter(
    (finding) =>
      finding.severity === 'stop' || (finding.severity === 'warn' && !isAcknowledged(job, finding)),
  );
