import type { Job } from '../../../core/job/schema.ts';
import { smallJob } from '../../support/small-job.ts';
import { PAGE } from '../cut/art-file.ts';

const PANELS = 12;
const MM_PER_PT = 25.4 / 72;

/** The page of the benchmark of the cut as one side at 1:10. */
export function twelvePanels(artwork: Job['artwork']): Job {
  const job = smallJob();
  const [widthMm, heightMm] = [PAGE.width * MM_PER_PT, PAGE.height * MM_PER_PT];
  const joints = Array.from({ length: PANELS - 1 }, (_, i) => ({
    id: `s${i}`,
    kind: 'lap' as const,
    atMm: ((i + 1) * widthMm * 10) / PANELS,
    firstMm: 15,
    secondMm: 10,
    top: 'second' as const,
  }));
  const parts = Array.from({ length: PANELS }, (_, i) => ({ kind: 'panel' as const, id: `p${i}` }));
  const side = {
    ...job.sides[0]!,
    artworkRect: { xMm: 0, yMm: 0, widthMm, heightMm },
    bleed: { top: 0, right: 0, bottom: 0, left: 0 },
    layout: { kind: 'split' as const, seams: 'vertical' as const, joints, parts },
  };
  return { ...job, artwork, sides: [side] };
}
