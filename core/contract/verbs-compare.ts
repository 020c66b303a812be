/** Compares a corrected artwork with the one of a job. */
import { z } from 'zod';
import { ArtworkReference, Job } from '../job/schema.ts';
import { ArtworkComparison } from '../output/artwork-comparison.ts';
import { id, type Verb } from './parts.ts';

export const COMPARE_VERBS = {
  /**
   * Both must be in the archive. The result is stored with the job, and reused for the same panels. `job` is the job
   * with the first of the artworks.
   */
  'artwork:compare': {
    request: z.strictObject({ job: Job, after: ArtworkReference }),
    reply: ArtworkComparison,
  },
  /** All comparisons of a job, latest last. */
  'artwork:comparisons': {
    request: z.strictObject({ jobId: id }),
    reply: z.array(ArtworkComparison),
  },
  /** Rejects a corrected artwork that was waiting. */
  'artwork:decline': {
    request: z.strictObject({ jobId: id, sha256: z.string().regex(/^[0-9a-f]{64}$/) }),
    reply: z.strictObject({}),
  },
} as const satisfies Record<string, Verb>;
