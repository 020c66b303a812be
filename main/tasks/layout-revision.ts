import type { Job } from '../../core/job/schema.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { layoutText } from '../../core/output/layout-text.ts';
import { sha256Hex } from '../files/sha256.ts';

/** Digits that tell one layout of a job from another, for a person with two prints. */
export const layoutRevision = ({
  job,
  layouts,
}: {
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
}): string => sha256Hex(new TextEncoder().encode(layoutText(layouts, job.output.size))).slice(0, 6);
