import type { Finding } from '../../../core/findings/finding.ts';
import { type FindingFacts, layoutFindings } from '../../../core/findings/layout/findings.ts';
import type { Job, NoFilmArea, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobSample, PAGES_SAMPLE, sideSample } from '../job/sample-job.ts';

/** The sample job on a roll that its widest panel fits: nothing to find. */
export function jobClean(side: Partial<Side> = {}, more: Partial<Job> = {}): Job {
  const job = jobSample({ sides: [sideSample(side)] });
  return { ...job, printer: { ...job.printer, rollWidthMm: 1560 }, ...more };
}

export const findingsOf = (job: Job, facts: FindingFacts = { pages: PAGES_SAMPLE }): Finding[] =>
  layoutFindings(job, jobLayout(job, facts.pages), facts);

export const codesOf = (job: Job, facts?: FindingFacts): string[] =>
  findingsOf(job, facts).map(({ code }) => code);

/** The only finding with this code; the test fails where there is none, or more than one. */
export function findingOf(job: Job, code: string, facts?: FindingFacts): Finding {
  const found = findingsOf(job, facts).filter((finding) => finding.code === code);
  if (found.length !== 1)
    throw new Error(`${found.length} findings ${code} among ${codesOf(job, facts).join(', ')}`);
  return found[0]!;
}

export const noFilmAreaSample = (more: Partial<NoFilmArea> = {}): NoFilmArea => ({
  id: 'o1',
  name: 'Side window',
  kind: 'window',
  rect: { xMm: 210, yMm: 230, widthMm: 870, heightMm: 560 },
  clearanceMm: 20,
  ...more,
});
