import type { Job } from '../../core/job/schema.ts';
import { smallJob } from './small-job.ts';

/** Two narrow drops a side: beside those of another job they fill the film. */
export function narrowJob(id: string, number: string, over: Partial<Job> = {}): Job {
  const job = smallJob({ id, number, ...over });
  const side = { ...job.sides[0]!, artworkRect: { xMm: 5, yMm: 5, widthMm: 100, heightMm: 130 } };
  const layout = {
    kind: 'split' as const,
    seams: 'vertical' as const,
    joints: [
      { id: 's1', kind: 'lap' as const, atMm: 470, firstMm: 15, secondMm: 10, top: 'second' as const },
    ],
    parts: [
      { kind: 'panel' as const, id: 'p1' },
      { kind: 'panel' as const, id: 'p2' },
    ],
  };
  return { ...job, sides: [{ ...side, layout }] };
}
