import { describe, expect, it } from 'vitest';
import { groundTicks } from '../../../../core/cut/marks/ground-ticks.ts';
import {
  bodyLineBend,
  bodyLineDraw,
  bodyLinePointsSet,
  bodyLineRepeat,
  bodyLineStraighten,
  itemMove,
  scaleSet,
  sideMirror,
} from '../../../../core/job/edits/edits.ts';
import { applySavedLayout, savedLayoutFromSide } from '../../../../core/job/edits/saved-layout.ts';
import { jobInvariantProblem } from '../../../../core/job/job-invariants.ts';
import { linePath } from '../../../../core/job/line-path.ts';
import type { BodyLine, Job } from '../../../../core/job/schema.ts';
import { seamSnap } from '../../../../core/job/seam-snap.ts';
import { pointSnap, sideSnapLines } from '../../../../core/layout/point-snap.ts';
import { nearestBodyLine } from '../../../../core/layout/seam-datums.ts';
import { sideLayout } from '../../../../core/layout/side-layout.ts';
import { tapePlaces } from '../../../../core/layout/tape-places.ts';
import { arcPath, type Path, pathValue } from '../../../../core/measure/path.ts';
import { planSideFromJob } from '../../../../core/seams/plan-from-job.ts';
import { edited, jobSample, panel, sideSample } from '../sample-job.ts';

/** Level at 820 to x = 400, down to 870 at 1400, up again to 846 at 2000. */
const belt: BodyLine = {
  id: 'belt',
  name: 'Belt',
  kind: 'crease',
  direction: 'horizontal',
  atMm: 820,
  shape: [
    { alongMm: 150, offMm: 0 },
    { alongMm: 400, offMm: 0 },
    { alongMm: 1400, offMm: 50 },
    { alongMm: 2000, offMm: 26 },
  ],
};
const post: BodyLine = {
  id: 'post',
  name: 'Post',
  kind: 'body-gap',
  direction: 'vertical',
  atMm: 1700,
  shape: [
    { alongMm: 0, offMm: -30 },
    { alongMm: 900, offMm: 12 },
  ],
};

const jobOf = (...bodyLines: BodyLine[]): Job =>
  jobSample({
    sides: [
      sideSample({ bodyLines }),
      sideSample({ id: 's2', code: 'RH', name: 'Right side', front: 'right', layout: panel('p9') }),
    ],
  });
const linesOf = (job: Job, index = 0) => job.sides[index]!.bodyLines;
const places = (line: BodyLine) => linePath(line).map(({ along, across }) => [along, across]);

describe('a body line with shape', () => {
  it('drawn point by point it is one line, straight where it is level', () => {
    const points = [
      { x: 1400, y: 870 },
      { x: 400, y: 820 },
    ];
    const drawn = linesOf(edited(bodyLineDraw(jobOf(), { sideId: 's1', points })));
    expect(drawn).toHaveLength(1);
    expect(drawn[0]).toMatchObject({ name: 'Body line', kind: 'crease', direction: 'horizontal' });
    expect(places(drawn[0]!)).toEqual([
      [400, 820],
      [1400, 870],
    ]);
    const level = points.map(({ x }) => ({ x, y: 640 }));
    expect(linesOf(edited(bodyLineDraw(jobOf(), { sideId: 's1', points: level })))[0]).toMatchObject({
      atMm: 640,
      extent: { fromMm: 400, toMm: 1400 },
    });
    const short = bodyLineDraw(jobOf(), { sideId: 's1', points: [points[0]!, { x: 1390, y: 860 }] });
    expect(short.ok ? '' : short.problem.code).toBe('line-too-short');
  });

  it('takes points, bends into an arc between its ends, and is straight again at its mean', () => {
    const of = { sideId: 's1', itemId: 'belt' };
    const points = [
      { along: 1900, across: 700 },
      { along: 100, across: 660 },
    ];
    const typed = edited(bodyLinePointsSet(jobOf(belt), { ...of, points }));
    expect(places(linesOf(typed)[0]!)).toEqual([
      [100, 660],
      [1900, 700],
    ]);
    // Off the straight line between 660 and 700 by 90 in the middle.
    const bent = linesOf(edited(bodyLineBend(typed, { ...of, riseMm: -90 })))[0]!;
    expect(pathValue(linePath(bent), 1000)).toBeCloseTo(680 - 90, 0);
    expect(pathValue(linePath(bent), 1900)).toBeCloseTo(700, 6);
    expect(linesOf(edited(bodyLineStraighten(typed, of)))[0]).toEqual({
      id: 'belt',
      name: 'Belt',
      kind: 'crease',
      direction: 'horizontal',
      atMm: 680,
      extent: { fromMm: 100, toMm: 1900 },
    });
  });

  it('moves and scales with all its points, and is repeated as far as its lowest point has room', () => {
    const moved = edited(itemMove(jobOf(belt), { sideId: 's1', itemId: 'belt', byMm: { x: 5, y: 7 } }));
    expect(places(linesOf(moved)[0]!)).toEqual([
      [155, 827],
      [405, 827],
      [1405, 877],
      [2005, 853],
    ]);
    const scaled = edited(scaleSet(jobOf(belt), { scale: 20 }));
    expect(places(linesOf(scaled)[0]!)[2]).toEqual([2800, 1740]);
    // The side is 2270 high, the lowest point at 870: four of 340 fit.
    const times = (count: number) =>
      bodyLineRepeat(jobOf(belt), { sideId: 's1', itemId: 'belt', everyMm: 340, times: count });
    expect(times(4).ok).toBe(true);
    expect(times(5).ok).toBe(false);
  });

  it('MIR1: is seen in a mirror on the opposite side and in a saved layout', () => {
    const mirror = edited(sideMirror(jobOf(belt, post), { fromSideId: 's1', toSideId: 's2' }));
    const [mirroredBelt, mirroredPost] = linesOf(mirror, 1);
    // x lands at 6130 − x.
    expect(places(mirroredBelt!)).toEqual([
      [4130, 846],
      [4730, 870],
      [5730, 820],
      [5980, 820],
    ]);
    expect(places(mirroredPost!)).toEqual([
      [0, 6130 - 1670],
      [900, 6130 - 1712],
    ]);
    const saved = savedLayoutFromSide(jobOf(belt, post).sides[0]!, 10, 'Van');
    const applied = applySavedLayout(jobOf(), 's2', saved);
    if (!applied.ok) throw new Error(applied.problem.message);
    expect(linesOf(applied.value, 1).map(places)).toEqual([places(mirroredBelt!), places(mirroredPost!)]);
  });

  it('is refused where its points do not run on, or with an extent beside them', () => {
    expect(jobInvariantProblem(jobOf(belt))).toBeUndefined();
    const back = { ...belt, shape: [...belt.shape!, { alongMm: 1999, offMm: 0 }] };
    expect(jobInvariantProblem(jobOf(back))?.message).toBe(
      'The body line “Belt” does not run on from 2000 to 1999 mm (sides[0].bodyLines[0].shape[4].alongMm).',
    );
    expect(jobInvariantProblem(jobOf({ ...belt, extent: { fromMm: 0, toMm: 9 } }))?.code).toBe('line-shape');
  });

  it('gives a straight seam a distance, and draws it, only where it runs level beside it', () => {
    const seam = (start: number, end: number) => ({
      direction: 'horizontal' as const,
      at: 812,
      span: { start, end },
    });
    expect(nearestBodyLine(seam(160, 390), [belt])).toMatchObject({
      atMm: 820,
      distanceMm: 8,
    });
    expect(nearestBodyLine(seam(160, 900), [belt])).toBeUndefined();
    const snapped = (start: number, end: number) =>
      seamSnap(
        { bodyLines: [belt] },
        {
          ...seam(start, end),
          atMm: 813,
          reachMm: 12,
          across: { start: 0, end: 2270 },
          range: { start: 0, end: 2270 },
          divisions: [],
          stepMm: 0,
        },
      ).atMm;
    expect([snapped(0, 380), snapped(0, 900)]).toEqual([820, 813]);
    const job = jobOf(belt);
    const lines = sideSnapLines(sideLayout(job, job.sides[0]!), []);
    expect(pointSnap(lines, { x: 900, y: 849 }, 6).point.y).toBe(845);
  });

  it('is ticked at each edge of a panel that it crosses, where it crosses it', () => {
    const job = jobOf(post);
    const { side, panels } = sideLayout(job, job.sides[0]!);
    const ticksOf = (net: { x: number; y: number; width: number; height: number }) =>
      groundTicks(side, { ...panels[0]!, net }).flatMap(([, ticks]) =>
        ticks.map(({ edge, at }) => [edge, Math.round(at.x), Math.round(at.y)]),
      );
    // At 1670 in the top edge; it leaves by the right edge at 1691, where 21 of 42 are done.
    expect(ticksOf({ x: 1290, y: 0, width: 401, height: 890 })).toEqual([
      ['top', 1670, 0],
      ['right', 1691, 450],
    ]);
    expect(ticksOf({ x: 1290, y: 0, width: 1420, height: 890 })).toEqual([
      ['top', 1670, 0],
      ['bottom', 1712, 890],
    ]);
  });

  it('SP27: a suggestion hides seams on its level stretches alone, and keeps off the whole of a rivet row', () => {
    const planned = (line: BodyLine) => {
      const job = jobOf(line);
      return planSideFromJob(job, job.sides[0]!).lines.map(({ at, from, to }) => [at, from, to]);
    };
    expect(planned(belt)).toEqual([[820, 150, 400]]);
    const row = planned({ ...belt, kind: 'rivet-row', shape: belt.shape!.slice(1, 3) });
    expect(row).toHaveLength(11);
    expect(row[0]).toEqual([820, 400, 500]);
    expect(row[5]).toEqual([845, 800, 1000]);
    expect(row[10]).toEqual([870, 1300, 1400]);
  });
});

describe('where a tape finds a line with shape', () => {
  const far = (places: Path, path: Path) =>
    Math.max(...path.map(({ along, across }) => Math.abs(pathValue(places, along) - across)));

  it('at its ends and the few places between that straight lines need to stay within 2 mm', () => {
    expect(tapePlaces(linePath(belt), { start: 150, end: 2000 })).toHaveLength(4);
    const arc = arcPath({ start: 0, end: 3000 }, 600, 90);
    const places = tapePlaces(arc, { start: 0, end: 3000 });
    expect(places.length).toBeLessThanOrEqual(12);
    expect(far(places, arc)).toBeLessThanOrEqual(2);
  });

  it('else one every 250 mm', () => {
    const rough = Array.from({ length: 21 }, (_, index) => ({
      along: index * 60,
      across: 300 + (index % 2) * 30,
    }));
    expect(tapePlaces(rough, { start: 0, end: 1200 }).map(({ along }) => along)).toEqual([
      0, 250, 500, 750, 1000, 1200,
    ]);
  });
});
