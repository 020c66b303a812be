import { describe, expect, it } from 'vitest';
import {
  doorGapFromPoints,
  doorGapFromRect,
  doorLines,
  doorNew,
  sideLines,
} from '../../../../core/job/door.ts';
import {
  bodyLineBend,
  bodyLinePointsSet,
  doorSection,
  itemAdd,
  itemMove,
  itemRemove,
  itemSet,
  panelSplit,
  scaleSet,
  seamFollow,
  seamMove,
  sideMirror,
} from '../../../../core/job/edits/edits.ts';
import { applySavedLayout, savedLayoutFromSide } from '../../../../core/job/edits/saved-layout.ts';
import { jobInvariantProblem } from '../../../../core/job/job-invariants.ts';
import { regionJoints, regionsPlaced } from '../../../../core/job/region.ts';
import type { Door, Job, NoFilmArea, Side } from '../../../../core/job/schema.ts';
import { type SideLayout, sideLayout } from '../../../../core/layout/side-layout.ts';
import { edited, jobSample, lap, panel, sideSample, split } from '../sample-job.ts';

/** A sliding door 960 mm wide behind the cab of the left side, down to 170 mm above its bottom. */
const door: Door = {
  id: 'd1',
  name: 'Side door',
  gap: { top: { atMm: 310 }, right: { atMm: 2360 }, bottom: { atMm: 2100 }, left: { atMm: 1400 } },
  motion: { kind: 'slides', toward: 'right', byMm: 920, passes: 'over' },
  handle: 'o1',
  isEdgeWrapped: true,
};
const handle: NoFilmArea = {
  id: 'o1',
  name: 'Door handle',
  kind: 'handle',
  rect: { xMm: 1440, yMm: 1190, widthMm: 210, heightMm: 60 },
  clearanceMm: 15,
};

const jobOf = (more: Partial<Side> = {}): Job =>
  jobSample({
    sides: [
      sideSample({ doors: [door], noFilmAreas: [handle], ...more }),
      sideSample({ id: 's2', code: 'RH', name: 'Right side', front: 'right', layout: panel('p9') }),
    ],
  });
const sideOf = (job: Job, index = 0) => job.sides[index]!;
const doorOf = (job: Job, index = 0) => sideOf(job, index).doors![0]!;
const ofDoor = { sideId: 's1', itemId: 'd1' };

/** The longest first, then by place. */
const seamsOf = ({ seams }: SideLayout) =>
  seams
    .map(({ direction, at, joint, span }) => [direction, at, joint, span.start, span.end] as const)
    .toSorted((a, b) => b[4] - b[3] - (a[4] - a[3]) || a[1] - b[1]);

describe('doors', () => {
  it('has four edges that serve seams as body lines, each from corner to corner', () => {
    const lines = doorLines(door);
    expect(lines.map(({ id, direction, atMm, extent }) => [id, direction, atMm, extent])).toEqual([
      ['d1-top', 'horizontal', 310, { fromMm: 1400, toMm: 2360 }],
      ['d1-right', 'vertical', 2360, { fromMm: 310, toMm: 2100 }],
      ['d1-bottom', 'horizontal', 2100, { fromMm: 1400, toMm: 2360 }],
      ['d1-left', 'vertical', 1400, { fromMm: 310, toMm: 2100 }],
    ]);
    expect(sideLines({ bodyLines: [], doors: [door] })).toEqual(lines);
    // The left edge leans: 1400 at the top, 1490 at the bottom. The bottom edge begins at it.
    const leaning = edited(
      bodyLinePointsSet(jobOf(), {
        sideId: 's1',
        itemId: 'd1-left',
        points: [
          { along: 310, across: 1400 },
          { along: 2100, across: 1490 },
        ],
      }),
    );
    const [, , bottom, left] = doorLines(doorOf(leaning));
    expect(bottom!.extent).toEqual({ fromMm: 1490, toMm: 2360 });
    expect(left!.shape).toEqual([
      { alongMm: 310, offMm: 0 },
      { alongMm: 2100, offMm: 90 },
    ]);
    const bent = edited(bodyLineBend(jobOf(), { sideId: 's1', itemId: 'd1-top', riseMm: -70 }));
    expect(Math.min(...doorOf(bent).gap.top.shape!.map(({ offMm }) => offMm))).toBeGreaterThan(-70.001);
    expect(Math.min(...doorOf(bent).gap.top.shape!.map(({ offMm }) => offMm))).toBeLessThan(-69);
  });

  it('is refused where its edges do not meet, its handle is none, or an edge runs back', () => {
    const problem = (more: Partial<Door>) =>
      jobInvariantProblem(jobOf({ doors: [{ ...door, ...more }] }))?.message;
    expect(problem({})).toBeUndefined();
    expect(problem({ gap: { ...door.gap, left: { atMm: 2400 } } })).toBe(
      'The edges of the door “Side door” do not meet at four corners (sides[0].doors[0].gap).',
    );
    expect(problem({ handle: 'o7' })).toBe(
      'The handle “o7” of the door “Side door” (sides[0].doors[0].handle) is no no-film area of its side.',
    );
    const shape = [
      { alongMm: 400, offMm: 0 },
      { alongMm: 390, offMm: 5 },
    ];
    expect(problem({ gap: { ...door.gap, left: { atMm: 1400, shape } } })).toBe(
      'The left edge of the door “Side door” does not run on from 400 to 390 mm (sides[0].doors[0].gap.left.shape[1].alongMm).',
    );
    expect(jobInvariantProblem(jobOf({ bodyLines: [{ ...doorLines(door)[0]!, name: 'Taken' }] }))?.code).toBe(
      'id-twice',
    );
  });

  it('is made of an outline that is drawn all round, its slanted and round edges kept', () => {
    const drawn = doorGapFromPoints([
      { x: 1500, y: 1900 },
      { x: 1500, y: 600 },
      { x: 1620, y: 300 },
      { x: 2300, y: 320 },
      { x: 2300, y: 1900 },
    ]);
    expect(drawn.right).toEqual({ atMm: 2300 });
    expect(drawn.bottom).toEqual({ atMm: 1900 });
    expect(drawn.top.shape).toEqual([
      { alongMm: 1620, offMm: 0 },
      { alongMm: 2300, offMm: 20 },
    ]);
    expect(drawn.left.shape?.map(({ alongMm }) => alongMm)).toEqual([300, 600, 1900]);
    expect(doorNew(drawn, { front: 'right' }).motion).toEqual({ kind: 'hinged', at: 'right' });
    const added = edited(
      itemAdd(jobOf({ doors: [] }), { sideId: 's1', list: 'doors', item: doorNew(drawn, { front: 'left' }) }),
    );
    expect(jobInvariantProblem(added)).toBeUndefined();
  });

  it('a seam that is moved onto its gap becomes a body-gap seam, and an overlap again when it leaves', () => {
    const job = jobOf();
    const kindOf = (now: Job) => regionJoints(sideOf(now).layout).find(({ id }) => id === 'j1')!.kind;
    const on = edited(seamMove(job, { sideId: 's1', seamId: 'j1', atMm: 1400 }));
    expect(kindOf(on)).toBe('gap');
    expect(kindOf(edited(seamMove(on, { sideId: 's1', seamId: 'j1', atMm: 1411 })))).toBe('lap');
    const cut = edited(panelSplit(job, { sideId: 's1', panelId: 'p2', seams: 'vertical', atMm: 2360 }));
    expect(regionJoints(sideOf(cut).layout).find(({ atMm }) => atMm === 2360)!.kind).toBe('gap');
    const beside = edited(panelSplit(job, { sideId: 's1', panelId: 'p2', seams: 'vertical', atMm: 2350 }));
    expect(regionJoints(sideOf(beside).layout).find(({ atMm }) => atMm === 2350)!.kind).toBe('lap');
    const follows = edited(seamFollow(job, { sideId: 's1', seamId: 'j1', lineId: 'd1-left' }));
    expect(regionJoints(sideOf(follows).layout).find(({ id }) => id === 'j1')).toMatchObject({
      kind: 'gap',
      follows: 'd1-left',
      atMm: 1400,
    });
  });

  it('takes seams along that follow its edges, and leaves them where it goes', () => {
    const follows = edited(
      seamFollow(jobOf(), { sideId: 's1', seamId: 'j1', lineId: 'd1-left', offsetMm: 3 }),
    );
    const seamOf = (now: Job) => regionJoints(sideOf(now).layout).find(({ id }) => id === 'j1')!;
    const moved = edited(itemMove(follows, { ...ofDoor, byMm: { x: -37, y: 20 } }));
    expect(seamOf(moved).atMm).toBe(1366);
    expect(sideOf(moved).noFilmAreas[0]!.rect).toMatchObject({ xMm: 1403, yMm: 1210 });
    const gone = edited(itemRemove(moved, ofDoor));
    expect(seamOf(gone)).toMatchObject({ atMm: 1366 });
    expect(seamOf(gone).follows).toBeUndefined();
    const withoutHandle = edited(itemRemove(follows, { sideId: 's1', itemId: 'o1' }));
    expect(doorOf(withoutHandle).handle).toBeUndefined();
  });

  it('becomes a section of its own in one act, upright, with body-gap seams at its gaps', () => {
    const job = edited(doorSection(jobOf({ layout: panel('p1') }), { sideId: 's1', doorId: 'd1' }));
    const side = sideOf(job);
    const layout = sideLayout(job, side);
    const seams = seamsOf(layout);
    // The door is 960 wide, its film 960 + 2 · 15: one panel. Seams of 2270 at both sides have 480 off the gap each; level ones
    // over 6130 would have 5170: upright seams go first. 170 mm under the door are a panel of their own.
    expect(seams).toEqual([
      ['vertical', 1400, 'gap', 0, 2270],
      ['vertical', 2360, 'gap', 0, 2270],
      ['horizontal', 310, 'gap', 1400, 2360],
      ['horizontal', 2100, 'gap', 1400, 2360],
    ]);
    expect(layout.panels).toHaveLength(5);
    expect(regionJoints(side.layout).map(({ follows }) => follows)).toEqual([
      'd1-left',
      'd1-right',
      'd1-top',
      'd1-bottom',
    ]);
    const net = layout.panels.map((each) => each.net).find(({ x, y }) => x === 1400 && y === 310);
    expect(net).toEqual({ x: 1400, y: 310, width: 960, height: 1790 });
  });

  it('keeps the seams around it, and cuts a wide door into as few panels as the printer prints', () => {
    const wide: Door = { ...door, gap: { ...door.gap, left: { atMm: 600 }, top: { atMm: 100 } } };
    const rows = split(
      'horizontal',
      [lap('j1', 890), lap('j2', 1500)],
      [panel('p1'), panel('p2'), panel('p3')],
    );
    const job = edited(doorSection(jobOf({ doors: [wide], layout: rows }), { sideId: 's1', doorId: 'd1' }));
    const layout = sideLayout(job, sideOf(job));
    const seams = seamsOf(layout);
    // 100 mm above the door are less than the least panel of 150 mm: its panels run on to the top. It is 1760 wide: two
    // panels of 880, cut by an overlap.
    expect(seams).toEqual([
      ['horizontal', 890, 'lap', 2360, 6130],
      ['horizontal', 1500, 'lap', 2360, 6130],
      ['vertical', 600, 'gap', 0, 2270],
      ['vertical', 2360, 'gap', 0, 2270],
      ['vertical', 1480, 'lap', 0, 2100],
      ['horizontal', 2100, 'gap', 600, 2360],
      ['horizontal', 890, 'lap', 0, 600],
      ['horizontal', 1500, 'lap', 0, 600],
    ]);
    expect(new Set(layout.panels.map(({ id }) => id)).size).toBe(layout.panels.length);
    const unknown = doorSection(job, { sideId: 's1', doorId: 'd9' });
    expect(unknown.ok ? '' : unknown.problem.message).toBe('Side LH has no door “d9”.');
  });

  it('changes only the part of the layout that holds the door', () => {
    const halves = split(
      'vertical',
      [lap('j1', 3000)],
      [panel('p1'), split('horizontal', [lap('j2', 1000)], [panel('p2'), panel('p3')])],
    );
    const job = edited(doorSection(jobOf({ layout: halves }), { sideId: 's1', doorId: 'd1' }));
    const placed = regionsPlaced(sideOf(job).layout, { x: 0, y: 0, width: 6130, height: 2270 });
    expect(placed.find(({ region }) => region.kind === 'panel' && region.id === 'p2')?.rect).toEqual({
      x: 3000,
      y: 0,
      width: 3130,
      height: 1000,
    });
    expect(regionJoints(sideOf(job).layout).some(({ id }) => id === 'j1')).toBe(true);
  });

  it('follows the edges of a door with shape', () => {
    const leaning = edited(
      bodyLinePointsSet(jobOf({ layout: panel('p1') }), {
        sideId: 's1',
        itemId: 'd1-left',
        points: [
          { along: 310, across: 1400 },
          { along: 2100, across: 1490 },
        ],
      }),
    );
    const job = edited(doorSection(leaning, { sideId: 's1', doorId: 'd1' }));
    const joint = regionJoints(sideOf(job).layout)[0]!;
    expect(joint).toMatchObject({ kind: 'gap', follows: 'd1-left', shape: doorLines(doorOf(job))[3]!.shape });
    expect(jobInvariantProblem(job)).toBeUndefined();
    // A straight seam where the edge begins gives way to it.
    const beside = {
      ...leaning,
      sides: [
        { ...sideOf(leaning), layout: split('vertical', [lap('j1', 1400)], [panel('p1'), panel('p2')]) },
      ],
    };
    const again = edited(doorSection(beside, { sideId: 's1', doorId: 'd1' }));
    expect(regionJoints(sideOf(again).layout).map(({ follows }) => follows)).toEqual([
      'd1-left',
      'd1-right',
      'd1-top',
      'd1-bottom',
    ]);
  });

  it('MIR1: is mirrored with its handle and the seams that follow it, and back', () => {
    const follows = edited(seamFollow(jobOf(), { sideId: 's1', seamId: 'j1', lineId: 'd1-left' }));
    const mirrored = edited(sideMirror(follows, { fromSideId: 's1', toSideId: 's2' }));
    const other = doorOf(mirrored, 1);
    expect(other.gap).toEqual({
      top: { atMm: 310 },
      right: { atMm: 4730 },
      bottom: { atMm: 2100 },
      left: { atMm: 3770 },
    });
    expect(other.motion).toEqual({ kind: 'slides', toward: 'left', byMm: 920, passes: 'over' });
    expect(sideOf(mirrored, 1).noFilmAreas.map(({ id }) => id)).toEqual([other.handle]);
    const joint = regionJoints(sideOf(mirrored, 1).layout).find(({ follows: line }) => line);
    expect(joint).toMatchObject({ follows: `${other.id}-right`, atMm: 4730 });
    const back = edited(sideMirror(mirrored, { fromSideId: 's2', toSideId: 's1' }));
    expect({ ...doorOf(back), id: 'd1', handle: 'o1' }).toEqual(door);
  });

  it('SC1: moves with the artwork when the scale changes', () => {
    const { gap, motion } = doorOf(edited(scaleSet(jobOf(), { scale: 20 })));
    expect(gap.left).toEqual({ atMm: 2800 });
    expect(motion).toMatchObject({ byMm: 1840 });
    expect(doorOf(edited(scaleSet(jobOf(), { scale: 20, positions: 'keep' })))).toEqual(door);
  });

  it('is kept in a saved layout, seen from the front edge, with its handle', () => {
    const saved = savedLayoutFromSide(sideOf(jobOf()), 10, 'Bookmobile');
    const applied = applySavedLayout(jobOf(), 's2', saved);
    if (!applied.ok) throw new Error(applied.problem.message);
    const other = doorOf(applied.value, 1);
    expect(other.gap.left).toEqual({ atMm: 3770 });
    expect(sideOf(applied.value, 1).noFilmAreas.find(({ id }) => id === other.handle)?.name).toBe(
      'Door handle',
    );
    expect(jobInvariantProblem(applied.value)).toBeUndefined();
  });

  it('keeps what it is when one of its fields is set', () => {
    const set = edited(
      itemSet(jobOf(), {
        ...ofDoor,
        list: 'doors',
        change: { gap: doorGapFromRect({ x: 900, y: 200, width: 700, height: 1800 }) },
      }),
    );
    expect(doorOf(set)).toMatchObject({
      name: 'Side door',
      gap: { right: { atMm: 1600 }, bottom: { atMm: 2000 } },
    });
  });
});
