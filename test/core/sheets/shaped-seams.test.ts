import { describe, expect, it } from 'vitest';
import { panelMarks } from '../../../core/cut/marks/panel-marks.ts';
import { jointsChange, seamFollow } from '../../../core/job/edits/edits.ts';
import { regionJoints } from '../../../core/job/region.ts';
import type { BodyLine, Job } from '../../../core/job/schema.ts';
import { panelBands } from '../../../core/layout/panel-bands.ts';
import { sideLayout } from '../../../core/layout/side-layout.ts';
import { polygonArea } from '../../../core/measure/outline.ts';
import { planAnswer } from '../../../core/seams/plan-answer.ts';
import { seamItems, seamStrokes } from '../../../core/sheets/seam-symbols.ts';
import { seamFromLine, seamNearText, seamShort, sideKeys } from '../../../core/sheets/side-keys.ts';
import { coveredShare } from '../../../core/verify/covered-share.ts';
import { edited, jobSample, sideSample } from '../job/sample-job.ts';
import { testFonts } from './fixture.ts';

/** Level at 850 to x = 3000, down to 978 at 5600, level from there. */
const belt: BodyLine = {
  id: 'belt',
  name: 'Belt',
  kind: 'molding',
  direction: 'horizontal',
  atMm: 850,
  shape: [
    { alongMm: 3000, offMm: 0 },
    { alongMm: 5600, offMm: 128 },
  ],
};
const job = (): Job =>
  edited(
    seamFollow(jobSample({ sides: [sideSample({ bodyLines: [belt] })] }), {
      sideId: 's1',
      seamId: 'j3',
      lineId: 'belt',
      offsetMm: 17,
    }),
  );
const layoutOf = (now: Job) => sideLayout(now, now.sides[0]!);
const seamOf = (now: Job) => layoutOf(now).seams.find(({ id }) => id === 'j3')!;

describe('a seam with shape on paper', () => {
  it('DT1 is told at each place that a tape needs, and from its line', () => {
    const now = job();
    const layout = layoutOf(now);
    const seam = seamOf(now);
    expect(seamNearText(layout, seam, 'mm')).toBe(
      'from the top edge 867 at 2710, 867 at 3000, 995 at 5600, 995 at 6130 from the front edge',
    );
    expect(seamShort(layout, seam, 'mm')).toEqual({ figure: '867 → 995↓' });
    expect(seamFromLine(layout, sideKeys(layout), seam, 'mm')).toBe('17 below L1');
  });

  it('SH5 is drawn as it runs, with teeth along all of it', () => {
    const frame = { x: 0, y: 0, width: 6130, height: 2270 };
    const picture = { x: 10, y: 20, width: 306.5, height: 113.5 };
    const [stroke, ...others] = seamStrokes(seamOf(job()), frame, picture, 20);
    expect(others).toEqual([]);
    expect(stroke!.points.map(({ x, y }) => [x, y].map((mm) => Math.round(mm * 100) / 100))).toEqual([
      [145.5, 63.35],
      [160, 63.35],
      [290, 69.75],
      [316.5, 69.75],
    ]);
    const teeth = seamItems(stroke!).flatMap((item) => (item.kind === 'polygon' && item.fill ? [item] : []));
    expect(teeth.length).toBeGreaterThan(30);
  });

  it('MK5 the border of its panels says at each place how far in its line lies', () => {
    const now = { ...job(), output: { ...job().output, borderMm: 30 } };
    const layout = layoutOf(now);
    const upper = layout.panels.find(({ id }) => id === 'p3')!;
    const { drawing } = panelMarks(now, layout, upper, '00000000', testFonts());
    const words = drawing.items.flatMap((item) => (item.kind === 'text' ? [item.text] : []));
    // Printed down to 995 + 14; the line lies at 867 in the front and at 995 in the rear.
    expect(words).toEqual(expect.arrayContaining(['LINE 142 mm IN', 'LINE 14 mm IN']));
    expect(words.join(' ')).toContain('VISIBLE UP TO 3420 × 995');
  });

  it('the shaded overlap is the band between both film edges', () => {
    const now = job();
    const upper = layoutOf(now).panels.find(({ id }) => id === 'p3')!;
    const band = panelBands(upper).find((each) => each.kind === 'overlap' && each.edge === 'bottom')!;
    const points = 'points' in band && band.points ? band.points : [];
    // 25 mm across over what is printed along it: 3420, 11 past the seam at its front end and 60 of bleed.
    expect(polygonArea(points) / (25 * (3420 + 11 + 60))).toBeCloseTo(1, 6);
  });

  it('PF6 outlines that do not reach all of the side leave it uncovered', () => {
    const layout = layoutOf(job());
    const plain = layout.panels.filter(({ shape }) => !shape).map(({ net }) => net);
    const outlines = layout.panels.flatMap(({ shape }) => (shape ? [shape.finished.points] : []));
    expect(coveredShare(layout, plain, outlines)).toEqual({ share: 1, uncoveredMm2: 0 });
    const [first] = outlines;
    expect(coveredShare(layout, plain, outlines.slice(1)).uncoveredMm2).toBeCloseTo(polygonArea(first!), 0);
  });

  it('a locked seam of shape stays in suggested layouts, as far beside its line', () => {
    const change = { locked: true };
    const locked = edited(jointsChange(job(), { sideId: 's1', seamIds: ['j3'], change }));
    const request = {
      job: locked,
      side: locked.sides[0]!,
      layouts: 'sections',
      otherRollWidthsMm: [],
    } as const;
    const { outcome } = planAnswer(request, () => undefined);
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    for (const { layout } of outcome.plans) {
      const kept = regionJoints(layout).filter((joint) => joint.locked);
      expect(kept).toHaveLength(1);
      expect(kept[0]).toMatchObject({ atMm: 867, follows: 'belt', shape: belt.shape, firstMm: 14 });
    }
  });
});
