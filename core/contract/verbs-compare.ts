/** A corrected artwork beside the one that a job has. */
import { z } from 'zod';
import { ArtworkReference, Job } from '../job/schema.ts';
import { ArtworkComparison } from '../output/artwork-comparison.ts';
import { id, type Verb } from './parts.ts';

export const COMPARE_VERBS = {
  /**
   * Both lie in the archive. Kept with the job; one of the same panels that was kept is answered again. `job` is as it was
   * with the first of them.
   */
  'artwork:compare': {
    request: z.strictObject({ job: Job, after: ArtworkReference }),
    reply: ArtworkComparison,
  },
  /** All that are kept with a job, the latest last. */
  'artwork:comparisons': {
    request: z.strictObject({ jobId: id }),
    reply: z.array(ArtworkComparison),
  },
  /** A corrected artwork that waited is not to be used. */
  'artwork:decline': {
    request: z.strictObject({ jobId: id, sha256: z.string().regex(/^[0-9a-f]{64}$/) }),
    reply: z.strictObject({}),
  },
} as const satisfies Record<string, Verb>;
