import { describe, expect, it } from 'vitest';
import { jointsChange, jointTopsSwap } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { sideLayout } from '../../../core/layout/side-layout.ts';
import { quietCurveMost, quietPath } from '../../../renderer/bench/quiet-path.ts';
import { planDrawing } from '../../../renderer/layouts/plan-drawing.ts';
import { smallJob } from '../../support/small-job.ts';

const ROOM = { widthPx: 310, heightPx: 400 };
const drawingOf = (job: Job) => planDrawing(sideLayout(job, job.sides[0]!), ROOM);

function edited(job: Job, change: (job: Job) => ReturnType<typeof jointsChange>): Job {
  const result = change(job);
  if (!result.ok) throw new Error(result.problem.message);
  return result.value;
}

/** Numbers of a path, in order. */
const numbersOf = (d: string): number[] => (d.match(/-?[\d.]+/g) ?? []).map(Number);

describe('a plan as a small picture', () => {
  it('keeps the proportions of the side within the room', () => {
    // 3,100 × 1,300 mm in 310 × 400 px: a tenth of a pixel per millimeter.
    expect(drawingOf(smallJob())).toMatchObject({ pxPerMm: 0.1, widthPx: 310, heightPx: 130 });
    const low = planDrawing(sideLayout(smallJob(), smallJob().sides[0]!), { widthPx: 900, heightPx: 26 });
    expect(low).toMatchObject({ pxPerMm: 0.02, widthPx: 62, heightPx: 26 });
  });

  it('draws panels and seams where they lie', () => {
    const { panels, seams } = drawingOf(smallJob());
    expect(panels.map(({ label, rect }) => [label, rect])).toEqual([
      ['LH-01', { x: 0, y: 0, width: 133, height: 130 }],
      ['LH-02', { x: 133, y: 0, width: 177, height: 130 }],
    ]);
    expect(seams).toMatchObject([{ kind: 'lap', line: 'M133 0V130', middle: { x: 133, y: 65 } }]);
  });

  it('points the teeth of a lap to the part on top, by shape and not by color', () => {
    const tipOf = (job: Job) => {
      const [base, , tip] = numbersOf(drawingOf(job).seams[0]!.teeth);
      return tip! - base!;
    };
    expect(tipOf(smallJob())).toBeGreaterThan(0);
    const swapped = edited(smallJob(), (job) => jointTopsSwap(job, { sideId: 'left', seamIds: ['s1'] }));
    expect(tipOf(swapped)).toBeLessThan(0);
  });

  it.each(['butt', 'gap'] as const)('draws a %s as two lines without teeth', (kind) => {
    const job = edited(smallJob(), (now) =>
      jointsChange(now, { sideId: 'left', seamIds: ['s1'], change: { kind } }),
    );
    expect(drawingOf(job).seams[0]).toMatchObject({ kind, line: 'M131 0V130M135 0V130', teeth: '' });
  });
});

describe('the quiet-line curve', () => {
  const curve = { stepMm: 50, ppi: 6, busyMeters: [0, 0.2, 0.8, 0.4] };

  it('is as high as the picture is busy', () => {
    expect(quietCurveMost(curve)).toBe(0.8);
    const shape = { edge: 'top', footPx: 22, heightPx: 16, pxPerMm: 0.5, fromMm: 10 } as const;
    // 50 mm are 25 px, and the ruler begins 10 mm in; a quarter of the busiest is 4 px high.
    expect(quietPath(curve, 0.8, shape)).toBe('M-5 22L-5 22L20 18L45 6L70 14L70 22z');
  });

  it('lies along the left ruler with its foot toward the side', () => {
    const shape = { edge: 'left', footPx: 20, heightPx: 10, pxPerMm: 1, fromMm: 0 } as const;
    expect(quietPath({ ...curve, busyMeters: [0.4, 0.8] }, 0.8, shape)).toBe('M20 0L15 0L10 50L20 50z');
  });

  it('is nothing where the picture is blank', () => {
    const shape = { edge: 'top', footPx: 22, heightPx: 16, pxPerMm: 1, fromMm: 0 } as const;
    expect(quietPath({ ...curve, busyMeters: [0, 0] }, 0, shape)).toBe('');
  });
});
