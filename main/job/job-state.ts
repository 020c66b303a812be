/** A job together with its artwork: what is derived from both, and what the checks say. */
import { type JobKnown, jobFindings } from '../../core/checks/findings/job-findings.ts';
import { pageRemarks } from '../../core/checks/page-remarks.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { findingsBlock } from '../../core/findings/layout/findings.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { OutputPanels } from '../../core/output/older-outputs.ts';
import { jobProduction } from '../../core/production/job-production.ts';
import { type OpenedArtwork, pageExtents } from '../artwork/artwork-file.ts';
import { type CoverageTools, measureCoverage, tryCoverage } from '../ink/job-coverage.ts';

export interface JobState extends JobKnown {
  readonly findings: readonly Finding[];
  /** Findings that keep panels from being written. */
  readonly blocking: readonly Finding[];
}

/** What the job and its artwork say by themselves, before rolls are planned or anything is checked. */
export function jobKnown(job: Job, artwork: OpenedArtwork | undefined): JobKnown {
  if (!artwork) return { job, layouts: jobLayout(job) };
  const { reference, scan } = artwork;
  const pages = pageExtents(artwork.pages);
  return {
    job,
    layouts: jobLayout(job, pages),
    artwork: { sha256: reference.sha256, pages, remarks: pageRemarks(artwork), ...(scan && { scan }) },
  };
}

/** The same with the ink coverage, where the job has production and no coverage was entered. */
export async function measureKnownJob(
  job: Job,
  artwork: OpenedArtwork | undefined,
  tools: CoverageTools,
): Promise<Result<JobKnown>> {
  const known = jobKnown(job, artwork);
  const measured = await tryCoverage(() => measureCoverage(job, known.layouts, artwork, tools));
  if (!measured.ok) return measured;
  return resultOk({ ...known, ...(measured.value && { measured: measured.value }) });
}

/** The artwork itself is checked where it was looked through, see scanArtwork. */
export const jobState = (job: Job, artwork: OpenedArtwork | undefined): JobState =>
  jobChecked(jobKnown(job, artwork));

/** `outputs`: what was cut of the job before. */
export async function measureJobState(
  job: Job,
  artwork: OpenedArtwork | undefined,
  tools: CoverageTools,
  outputs: readonly OutputPanels[] = [],
): Promise<Result<JobState>> {
  const known = await measureKnownJob(job, artwork, tools);
  return known.ok ? resultOk(jobChecked({ ...known.value, outputs })) : known;
}

function jobChecked(read: JobKnown): JobState {
  const { job, layouts, measured } = read;
  const known = { ...read, ...(job.production && { production: jobProduction(job, layouts, measured) }) };
  const findings = jobFindings(known);
  return { ...known, findings, blocking: findingsBlock(job, findings) };
}
