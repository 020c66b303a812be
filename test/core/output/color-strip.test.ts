import { describe, expect, it } from 'vitest';
import { seamFollow } from '../../../core/job/edits/edits.ts';
import type { BodyLine } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { colorStrip } from '../../../core/output/color-strip.ts';
import { edited, jobSample, sideSample } from '../job/sample-job.ts';

const belt: BodyLine = {
  id: 'belt',
  name: 'Belt',
  kind: 'crease',
  direction: 'horizontal',
  atMm: 850,
  shape: [
    { alongMm: 2710, offMm: 0 },
    { alongMm: 6130, offMm: 300 },
  ],
};
const beltAt = (x: number) => 850 + (300 * (x - 2710)) / 3420;

describe('a color strip at a seam that slopes', () => {
  const job = edited(
    seamFollow(jobSample({ sides: [sideSample({ bodyLines: [belt], noFilmAreas: [] })] }), {
      sideId: 's1',
      seamId: 'j3',
      lineId: 'belt',
    }),
  );
  const layouts = jobLayout(job);
  const seam = layouts[0]!.seams.find(({ id }) => id === 'j3')!;
  const stripOf = (panelId: string) => colorStrip(job, layouts, new Set([panelId]))!;

  it('RP6 is cut where the film of the panel ends beside it', () => {
    const above = stripOf(seam.firstPanelIds[0]!);
    expect([above.edge, above.neighbor!.id]).toEqual(['bottom', seam.secondPanelIds[0]]);
    const { x, y, width, height } = above.printed;
    expect([width, height]).toEqual([300, expect.closeTo(100, 9)]);
    expect(y + height).toBeCloseTo(beltAt(x + width) + seam.firstMm / seam.squareShare, 6);

    const below = stripOf(seam.secondPanelIds[0]!);
    expect([below.edge, below.neighbor!.id]).toEqual(['top', seam.firstPanelIds[0]]);
    expect([below.printed.width, below.printed.height]).toEqual([300, expect.closeTo(100, 9)]);
    expect(below.printed.y).toBeCloseTo(beltAt(below.printed.x) - seam.secondMm / seam.squareShare, 6);
  });
});
