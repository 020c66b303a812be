import { describe, expect, it } from 'vitest';
import {
  bodyLinePointsSet,
  itemAdd,
  itemMove,
  itemRemove,
  panelSplit,
  scaleSet,
  seamFollow,
  seamMove,
  seamsDistribute,
  seamsFollowing,
  seamUnfollow,
  sideMirror,
} from '../../../../core/job/edits/edits.ts';
import { jobInvariantProblem } from '../../../../core/job/job-invariants.ts';
import { regionJoints } from '../../../../core/job/region.ts';
import type { BodyLine, Job, Joint } from '../../../../core/job/schema.ts';
import { sideLayout } from '../../../../core/layout/side-layout.ts';
import { polygonArea } from '../../../../core/measure/outline.ts';
import { edited, jobSample, panel, sideSample } from '../sample-job.ts';

/** From 850 at x = 2000 down to 990 at x = 6130, level before. */
const belt: BodyLine = {
  id: 'belt',
  name: 'Belt',
  kind: 'crease',
  direction: 'horizontal',
  atMm: 850,
  shape: [
    { alongMm: 2000, offMm: 0 },
    { alongMm: 6130, offMm: 140 },
  ],
};

const job = (more: Partial<Job> = {}): Job =>
  jobSample({
    sides: [
      sideSample({ bodyLines: [belt] }),
      sideSample({ id: 's2', code: 'RH', name: 'Right side', front: 'right', layout: panel('p9') }),
    ],
    ...more,
  });
const followed = (more: { offsetMm?: number } = {}): Job =>
  edited(seamFollow(job(), { sideId: 's1', seamId: 'j3', lineId: 'belt', ...more }));
const jointOf = (now: Job, id = 'j3', index = 0): Joint =>
  regionJoints(now.sides[index]!.layout).find((joint) => joint.id === id)!;

describe('a seam that follows a body line', () => {
  it('has its shape, between the edges of its own region, prolonged along its axis', () => {
    const now = followed({ offsetMm: 12 });
    expect(jointOf(now)).toMatchObject({ follows: 'belt', atMm: 862, shape: belt.shape });
    const { seams, panels } = sideLayout(now, now.sides[0]!);
    const seam = seams.find(({ id }) => id === 'j3')!;
    // At x = 2710 and at 6130: 862 + 140 × 710 ÷ 4130, and 862 + 140.
    const at2710 = 862 + (140 * 710) / 4130;
    expect(seam.span).toEqual({ start: 2710, end: 6130 });
    expect(seam.at).toBeCloseTo((at2710 + 1002) / 2, 6);
    const [p3, p4] = ['p3', 'p4'].map((id) => panels.find((each) => each.id === id)!);
    expect(p3!.net).toMatchObject({ x: 2710, y: 0, width: 3420, height: 1002 });
    expect(p4!.net.y).toBeCloseTo(at2710, 6);
    expect(polygonArea(p3!.shape!.finished.points)).toBeCloseTo((3420 * (at2710 + 1002)) / 2, 3);
    // Bleed of 60 at the right: the seam goes on level beyond its last point, and 14 past it.
    expect(p3!.printed.y + p3!.printed.height).toBeCloseTo(1002 + 14, 6);
    // 11 before the seam, 11 left of x = 2710.
    expect(p4!.printed.y).toBeCloseTo(862 + (140 * (2710 - 11 - 2000)) / 4130 - 11, 6);
  });

  it('the overlap that is told is the least of it, square to the seam', () => {
    const now = followed();
    const seam = sideLayout(now, now.sides[0]!).seams.find(({ id }) => id === 'j3')!;
    const square = 4130 / Math.hypot(4130, 140);
    expect(seam.overlapMm).toBeCloseTo(25 * square, 9);
    expect(seam.firstMm + seam.secondMm).toBeCloseTo(seam.overlapMm, 9);
  });

  it('is a body-gap seam on a gap of the body, an overlap beside it or on another line', () => {
    const gap: BodyLine = { ...belt, id: 'gap', name: 'Shut line', kind: 'body-gap' };
    const straight: BodyLine = {
      id: 'post',
      name: 'Post gap',
      kind: 'body-gap',
      direction: 'vertical',
      atMm: 1400,
    };
    const lines = job({ sides: [sideSample({ bodyLines: [belt, gap, straight] })] });
    const of = { sideId: 's1', seamId: 'j3' };
    const kindOf = (now: Job, id = 'j3') => jointOf(now, id).kind;
    const onGap = edited(seamFollow(lines, { ...of, lineId: 'gap' }));
    expect(kindOf(onGap)).toBe('gap');
    expect(kindOf(edited(seamFollow(onGap, { ...of, lineId: 'belt' })))).toBe('lap');
    expect(kindOf(edited(seamFollow(lines, { ...of, lineId: 'gap', offsetMm: 20 })))).toBe('lap');
    expect(kindOf(edited(seamMove(onGap, { ...of, atMm: 870 })))).toBe('lap');
    expect(kindOf(edited(seamMove(lines, { sideId: 's1', seamId: 'j1', atMm: 1400 })), 'j1')).toBe('gap');
    const cut = edited(panelSplit(lines, { sideId: 's1', panelId: 'p2', seams: 'vertical', atMm: 1400 }));
    expect(regionJoints(cut.sides[0]!.layout).find(({ atMm }) => atMm === 1400)?.kind).toBe('gap');
  });

  it('moves and bends with its line in the same step, and keeps its distance', () => {
    const moved = edited(
      itemMove(followed({ offsetMm: 12 }), { sideId: 's1', itemId: 'belt', byMm: { x: 30, y: -20 } }),
    );
    expect(jointOf(moved)).toMatchObject({ atMm: 842, shape: moved.sides[0]!.bodyLines[0]!.shape });
    expect(jointOf(moved).shape![0]).toEqual({ alongMm: 2030, offMm: 0 });
    const points = [
      { along: 2500, across: 800 },
      { along: 6000, across: 950 },
    ];
    const bent = edited(bodyLinePointsSet(followed(), { sideId: 's1', itemId: 'belt', points }));
    expect(jointOf(bent).shape).toEqual([
      { alongMm: 2500, offMm: -50 },
      { alongMm: 6000, offMm: 100 },
    ]);
    const scaled = edited(scaleSet(followed({ offsetMm: 10 }), { scale: 20 }));
    expect(jointOf(scaled)).toMatchObject({ atMm: 1720, shape: scaled.sides[0]!.bodyLines[0]!.shape });
  });

  it('keeps the shape as its own when the line goes, or is straight at its mean', () => {
    const of = { sideId: 's1', seamId: 'j3' };
    const gone = edited(itemRemove(followed(), { sideId: 's1', itemId: 'belt' }));
    expect(jointOf(gone)).toMatchObject({ atMm: 850, shape: belt.shape });
    expect(jointOf(gone).follows).toBeUndefined();
    const straight = jointOf(edited(seamUnfollow(gone, { ...of, keeps: 'mean' })));
    expect(straight.shape).toBeUndefined();
    expect(straight.atMm).toBeCloseTo(850 + (140 * (710 / 4130 + 1)) / 2, 6);
    expect(seamsFollowing(followed().sides[0]!, 'belt').map(({ id }) => id)).toEqual(['j3']);
    const mean = edited(itemRemove(followed(), { sideId: 's1', itemId: 'belt', seamsKeep: 'mean' }));
    expect(mean.sides[0]!.bodyLines).toEqual([]);
    expect(jointOf(mean)).toEqual(straight);
    const free = jointOf(edited(seamUnfollow(followed(), { ...of, keeps: 'shape' })));
    expect([free.follows, free.shape]).toEqual([undefined, belt.shape]);
  });

  it('MIR1: is mirrored with its line', () => {
    const mirrored = edited(sideMirror(followed(), { fromSideId: 's1', toSideId: 's2' }));
    const line = mirrored.sides[1]!.bodyLines[0]!;
    const [joint] = regionJoints(mirrored.sides[1]!.layout).filter(({ follows }) => follows);
    expect(joint).toMatchObject({ follows: line.id, shape: line.shape, atMm: 850 });
    expect(line.shape![0]).toEqual({ alongMm: 0, offMm: 140 });
    const areas = [0, 1].map((index) =>
      sideLayout(mirrored, mirrored.sides[index]!)
        .panels.map(({ coveredAreaMm2 }) => Math.round(coveredAreaMm2))
        .toSorted((a, b) => a - b),
    );
    expect(areas[0]).toEqual(areas[1]);
  });

  it('is moved as a whole as far as it keeps clear of what lies beside it', () => {
    const of = { sideId: 's1', seamId: 'j3' };
    expect(jointOf(edited(seamMove(followed(), { ...of, atMm: 900 })))).toMatchObject({ atMm: 900 });
    // The lowest place, 140 below the first, meets the bottom edge at 2270.
    expect(seamMove(followed(), { ...of, atMm: 2135 }).ok).toBe(false);
    const spread = seamsDistribute(followed(), of);
    expect(spread.ok ? '' : spread.problem.code).toBe('seam-shaped');
  });

  it('LIN8: is refused in one sentence where a panel would be too narrow, too steep, or crosses what lies beside it', () => {
    const problemOf = (line: BodyLine) => {
      const added = edited(itemAdd(job(), { sideId: 's1', list: 'bodyLines', item: line, id: 'b77' }));
      const result = seamFollow(added, { sideId: 's1', seamId: 'j3', lineId: 'b77' });
      return result.ok ? '' : result.problem.message;
    };
    const lineOf = (...shape: [number, number][]): BodyLine => ({
      ...belt,
      id: 'b77',
      shape: shape.map(([alongMm, offMm]) => ({ alongMm, offMm })),
    });
    expect(problemOf(lineOf([3000, 0], [5000, 1380]))).toBe(
      'Along “Belt” the seam would leave a panel 40 mm at its narrowest, and 150 mm is the least.',
    );
    expect(problemOf(lineOf([3000, 0], [3100, 180]))).toContain('is steeper than 60° to its axis.');
    expect(problemOf(lineOf([3000, 0], [5000, 1500]))).toContain('at its narrowest');
    const upright = seamFollow(job(), { sideId: 's1', seamId: 'j1', lineId: 'belt' });
    expect(upright.ok ? '' : upright.problem.message).toBe(
      'Side LH has no vertical body line “belt” that the seam could follow.',
    );
  });

  it('a job file in which seam and line differ is refused', () => {
    const now = followed();
    const [side, other] = now.sides;
    const other2 = { ...belt, shape: [belt.shape![0]!, { alongMm: 6130, offMm: 139 }] };
    const off = { ...now, sides: [{ ...side!, bodyLines: [other2] }, other!] };
    expect(jobInvariantProblem(off)?.code).toBe('seam-follows');
    expect(jobInvariantProblem({ ...now, sides: [{ ...side!, bodyLines: [] }, other!] })?.message).toContain(
      'which the side does not have',
    );
  });
});
