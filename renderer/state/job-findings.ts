/** The known findings of the open job: the list that decides about output. */
import { computed } from '@preact/signals';
import { artworkChecks } from '../../core/checks/findings/artwork-checks.ts';
import { type ArtworkKnown, jobFindings } from '../../core/checks/findings/job-findings.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { findingsBlock } from '../../core/findings/layout/findings.ts';
import { coverageOf } from './coverage.ts';
import { outputsCut } from './last-output.ts';
import { artworkFacts, job, layouts, pageExtents } from './open-job.ts';
import { production } from './production.ts';

/** What was read from the artwork of the open job. */
export const artworkKnown = computed<ArtworkKnown | undefined>(() => {
  const [facts, pages] = [artworkFacts.value, pageExtents.value];
  if (!facts || !pages) return undefined;
  const { reference, remarks, scan } = facts;
  return { sha256: reference.sha256, pages, remarks, ...(scan && { scan }) };
});

/** Findings of the artwork checks; none until the artwork is scanned. */
export const artworkFindings = computed<readonly Finding[]>(() => {
  const scan = artworkKnown.value?.scan;
  return job.value && scan ? artworkChecks(job.value, layouts.value, scan) : [];
});

export const findings = computed<readonly Finding[]>(() => {
  const [current, artwork] = [job.value, artworkKnown.value];
  if (!current) return [];
  const measured = coverageOf(current);
  return jobFindings({
    job: current,
    layouts: layouts.value,
    outputs: outputsCut.value,
    ...(artwork && { artwork }),
    ...(measured && { measured }),
    // Rolls that were never opened do not block the output.
    ...(current.production && production.value && { production: production.value }),
  });
});

export const blockingFindings = computed(() => (job.value ? findingsBlock(job.value, findings.value) : []));
