/** A job together with its artwork: what is derived from both, and what the checks say. */
import { artworkChecks } from '../../core/checks/findings/artwork-checks.ts';
import { pageRemarks } from '../../core/checks/page-remarks.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { findingsBlock, findingsSorted, jobFindings } from '../../core/findings/layout/findings.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout, type SideLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { MeasuredCoverage } from '../../core/production/job-coverage.ts';
import { jobProduction } from '../../core/production/job-production.ts';
import { type OpenedArtwork, pageExtents } from '../artwork/artwork-file.ts';
import { type CoverageTools, coverageTried, coverageWanted } from '../ink/job-coverage.ts';

export interface JobState {
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
  readonly findings: readonly Finding[];
  /** Findings that keep panels from being written. */
  readonly blocking: readonly Finding[];
  /** Ink coverage as computed from the artwork, where it was asked for. */
  readonly measured?: MeasuredCoverage;
}

/** The artwork itself is checked where it was looked through, see artworkScanned. */
export function jobState(
  job: Job,
  artwork: OpenedArtwork | undefined,
  measured?: MeasuredCoverage,
): JobState {
  const pages = artwork && pageExtents(artwork.pages);
  const layouts = jobLayout(job, pages);
  const findings = findingsSorted([
    ...jobFindings(job, layouts, {
      ...(pages && { pages }),
      ...(artwork && { artworkSha256: artwork.reference.sha256 }),
    }),
    ...(artwork ? pageRemarks(artwork, new Set(job.sides.map((side) => side.page))) : []),
    ...(artwork?.scan ? artworkChecks(job, layouts, artwork.scan) : []),
    ...(job.production ? jobProduction(job, layouts, measured).findings : []),
  ]);
  return {
    job,
    layouts,
    findings,
    blocking: findingsBlock(job, findings),
    ...(measured && { measured }),
  };
}

/** The same with the ink coverage, where the job is to be produced and nobody entered it. */
export async function jobStateMeasured(
  job: Job,
  artwork: OpenedArtwork | undefined,
  tools: CoverageTools,
): Promise<Result<JobState>> {
  const layouts = jobLayout(job, artwork && pageExtents(artwork.pages));
  const measured = await coverageTried(() => coverageWanted(job, layouts, artwork, tools));
  return measured.ok ? resultOk(jobState(job, artwork, measured.value)) : measured;
}
