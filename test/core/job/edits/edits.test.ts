import { describe, expect, it } from 'vitest';
import {
  type EditResult,
  findingsAcknowledge,
  findingsUnacknowledge,
  itemAdd,
  itemMove,
  itemRemove,
  itemSet,
  jobSet,
  jointsChange,
  jointTopsSwap,
  layoutReplace,
  panelSplit,
  seamMove,
  seamRemove,
  seamsDistribute,
  seamTrimChange,
  sideAdd,
  sideCheckIn,
  sideRemove,
  sideReorder,
  sideSet,
} from '../../../../core/job/edits/edits.ts';
import { jointTrim } from '../../../../core/job/joint-default.ts';
import { regionJoints, regionPanels } from '../../../../core/job/region.ts';
import type { Job, Region } from '../../../../core/job/schema.ts';
import { jobLayout } from '../../../../core/layout/side-layout.ts';
import { countedReads } from '../../../support/counted-reads.ts';
import { smallJob } from '../../../support/small-job.ts';
import { edited, jobSample, jobWithSide, lap, layoutOfMany, panel, split } from '../sample-job.ts';

function problemOf(result: EditResult) {
  if (result.ok) throw new Error('the edit was made');
  expect(result.problem.message).toMatch(/^[^\n]+\.$/);
  return result.problem;
}

const layoutOf = (job: Job, index = 0): Region => job.sides[index]!.layout;

/** `p1 |1290 p2 |2710 (p3 -890 p4)`: a tree on one line. */
function treeText(region: Region): string {
  if (region.kind === 'panel') return region.id;
  const sign = region.seams === 'vertical' ? '|' : '-';
  const [first, ...rest] = region.parts.map((part) =>
    part.kind === 'split' ? `(${treeText(part)})` : treeText(part),
  );
  return [first, ...rest.map((part, index) => `${sign}${region.joints[index]!.atMm} ${part}`)].join(' ');
}

describe('splitting a panel', () => {
  it('ED1 joins a run whose seams go the same way', () => {
    const job = edited(
      panelSplit(jobSample(), { sideId: 's1', panelId: 'p2', seams: 'vertical', atMm: 1850 }),
    );
    expect(treeText(layoutOf(job))).toBe('p1 |1290 p2 |1850 p6 |2710 (p3 -890 p4)');
    expect(regionJoints(layoutOf(job)).map(({ id }) => id)).toEqual(['j1', 'j5', 'j2', 'j3']);
  });

  it('ED1 makes a run in place of the panel where the seam crosses', () => {
    const job = edited(
      panelSplit(jobSample(), { sideId: 's1', panelId: 'p2', seams: 'horizontal', atMm: 1111 }),
    );
    expect(treeText(layoutOf(job))).toBe('p1 |1290 (p2 -1111 p6) |2710 (p3 -890 p4)');
  });

  it('ED1 makes the joint as the trade would: upper over lower, front over rear, 25 mm', () => {
    const at = { sideId: 's1', panelId: 'p2', atMm: 1850 } as const;
    const jointAfter = (job: Job, seams: 'vertical' | 'horizontal') =>
      regionJoints(layoutOf(edited(panelSplit(job, { ...at, seams, atMm: 1850 })))).find(
        ({ atMm }) => atMm === 1850,
      );
    expect(jointAfter(jobSample(), 'vertical')).toMatchObject({
      kind: 'lap',
      top: 'first',
      firstMm: 10,
      secondMm: 15,
    });
    expect(jointAfter(jobWithSide({ front: 'right' }), 'vertical')).toMatchObject({
      top: 'second',
      firstMm: 15,
      secondMm: 10,
    });
    expect(jointAfter(jobWithSide({ front: 'right' }), 'horizontal')).toMatchObject({
      top: 'first',
      firstMm: 10,
      secondMm: 15,
    });
  });

  it('ED1 takes ids and a joint that are handed in', () => {
    const job = edited(
      panelSplit(jobSample(), {
        sideId: 's1',
        panelId: 'p1',
        seams: 'vertical',
        atMm: 610,
        joint: { kind: 'butt' },
        newPanelId: 'door',
        newSeamId: 'gap',
      }),
    );
    expect(treeText(layoutOf(job))).toBe('p1 |610 door |1290 p2 |2710 (p3 -890 p4)');
    expect(regionJoints(layoutOf(job))[0]).toEqual({
      id: 'gap',
      kind: 'butt',
      atMm: 610,
      firstMm: 0,
      secondMm: 0,
      top: 'first',
    });
  });

  it.each([[1290], [2710], [100], [Number.NaN]])('ED1 refuses a place outside the panel: %s', (atMm) => {
    const problem = problemOf(
      panelSplit(jobSample(), { sideId: 's1', panelId: 'p2', seams: 'vertical', atMm }),
    );
    expect(problem.code).toBe('seam-outside-region');
    expect(problem.message).toContain('from 1290 mm to 2710 mm');
  });

  it('ED1 refuses a panel or side that is not there, and an id that is taken', () => {
    const split = { sideId: 's1', panelId: 'p2', seams: 'vertical', atMm: 1850 } as const;
    expect(problemOf(panelSplit(jobSample(), { ...split, panelId: 'p9' })).code).toBe('panel-unknown');
    expect(problemOf(panelSplit(jobSample(), { ...split, sideId: 's9' })).code).toBe('side-unknown');
    expect(problemOf(panelSplit(jobSample(), { ...split, newPanelId: 'p4' })).code).toBe('id-twice');
  });
});

describe('moving and removing seams', () => {
  it('moves a seam and touches nothing else', () => {
    const before = jobSample();
    const after = edited(seamMove(before, { sideId: 's1', seamId: 'j2', atMm: 3050 }));
    expect(treeText(layoutOf(after))).toBe('p1 |1290 p2 |3050 (p3 -890 p4)');
    expect(after.printer).toBe(before.printer);
    expect(treeText(layoutOf(before))).toBe('p1 |1290 p2 |2710 (p3 -890 p4)');
  });

  it.each([
    ['j1', 2710, 'between 0 mm and 2710 mm'],
    ['j2', 1290, 'between 1290 mm and 6130 mm'],
    ['j3', 2271, 'between 0 mm and 2270 mm'],
  ])('keeps %s within its region', (seamId, atMm, range) => {
    const problem = problemOf(seamMove(jobSample(), { sideId: 's1', seamId, atMm }));
    expect(problem.code).toBe('seam-outside-region');
    expect(problem.message).toContain(range);
  });

  it('keeps a seam clear of parallel seams nested in its parts', () => {
    const nested = split(
      'horizontal',
      [lap('j5', 700)],
      [panel('p5'), split('vertical', [lap('j6', 2050)], [panel('p6'), panel('p7')])],
    );
    const job = jobWithSide({ layout: split('vertical', [lap('j4', 1500)], [panel('p4'), nested]) });
    expect(problemOf(seamMove(job, { sideId: 's1', seamId: 'j4', atMm: 2051 })).message).toContain(
      'between 0 mm and 2050 mm',
    );
    expect(treeText(layoutOf(edited(seamMove(job, { sideId: 's1', seamId: 'j4', atMm: 2049 }))))).toBe(
      'p4 |2049 (p5 -700 (p6 |2050 p7))',
    );
  });

  it('makes two panels the first of them', () => {
    const job = edited(seamRemove(jobSample(), { sideId: 's1', seamId: 'j1' }));
    expect(treeText(layoutOf(job))).toBe('p1 |2710 (p3 -890 p4)');
    const nested = edited(seamRemove(jobSample(), { sideId: 's1', seamId: 'j3' }));
    expect(treeText(layoutOf(nested))).toBe('p1 |1290 p2 |2710 p3');
  });

  it('spreads a run over the panel beside it', () => {
    const job = edited(seamRemove(jobSample(), { sideId: 's1', seamId: 'j2' }));
    expect(treeText(layoutOf(job))).toBe('p1 |1290 (p3 -890 p4)');
  });

  it('joins runs that are cut alike, part by part, and refuses others', () => {
    const cut = (n: number, at: number) =>
      split('horizontal', [lap(`jh${n}`, at)], [panel(`pa${n}`), panel(`pb${n}`)]);
    const alike = jobWithSide({ layout: split('vertical', [lap('j1', 3333)], [cut(1, 910), cut(2, 910)]) });
    expect(treeText(layoutOf(edited(seamRemove(alike, { sideId: 's1', seamId: 'j1' }))))).toBe(
      'pa1 -910 pb1',
    );
    const unlike = jobWithSide({ layout: split('vertical', [lap('j1', 3333)], [cut(1, 910), cut(2, 930)]) });
    expect(problemOf(seamRemove(unlike, { sideId: 's1', seamId: 'j1' })).code).toBe('parts-unlike');
  });

  it('keeps the outer parts of nested runs that go the same way', () => {
    const pair = (n: number, at: number) =>
      split('vertical', [lap(`jv${n}`, at)], [panel(`pa${n}`), panel(`pb${n}`)]);
    const job = jobWithSide({ layout: split('vertical', [lap('j1', 3333)], [pair(1, 1200), pair(2, 4700)]) });
    expect(treeText(layoutOf(edited(seamRemove(job, { sideId: 's1', seamId: 'j1' }))))).toBe(
      'pa1 |1200 pb1 |4700 pb2',
    );
  });

  it('leaves one panel when the last seam goes', () => {
    const job = jobWithSide({ layout: split('vertical', [lap('j1', 3333)], [panel('p1'), panel('p2')]) });
    expect(layoutOf(edited(seamRemove(job, { sideId: 's1', seamId: 'j1' })))).toEqual(panel('p1'));
    expect(problemOf(seamRemove(job, { sideId: 's1', seamId: 'j9' })).code).toBe('seam-unknown');
  });

  it('never gives an id again, not even that of a panel which is gone', () => {
    let job = edited(panelSplit(jobSample(), { sideId: 's1', panelId: 'p1', seams: 'vertical', atMm: 610 }));
    expect(regionPanels(layoutOf(job)).map(({ id }) => id)).toEqual(['p1', 'p6', 'p2', 'p3', 'p4']);
    job = edited(seamRemove(job, { sideId: 's1', seamId: 'j5' }));
    job = edited(panelSplit(job, { sideId: 's1', panelId: 'p1', seams: 'vertical', atMm: 610 }));
    expect(regionPanels(layoutOf(job)).map(({ id }) => id)).toEqual(['p1', 'p8', 'p2', 'p3', 'p4']);
    job = edited(sideRemove(job, { sideId: 's1' }));
    const side = {
      code: 'RR',
      name: 'Rear',
      page: 2,
      artworkRect: { xMm: 3, yMm: 5, widthMm: 211, heightMm: 197 },
      front: 'none',
    } as const;
    job = edited(sideAdd(job, { side }));
    expect([job.sides[0]!.id, layoutOf(job)]).toEqual(['s9', panel('p10')]);
  });

  it('spreads the seams of a run evenly, between locked ones', () => {
    const even = edited(seamsDistribute(jobSample(), { sideId: 's1', seamId: 'j1' }));
    expect(regionJoints(layoutOf(even)).map(({ atMm }) => atMm)).toEqual([6130 / 3, (6130 * 2) / 3, 890]);
    const layout = split(
      'vertical',
      [lap('j1', 310), lap('j2', 620), lap('j3', 1800, { locked: true }), lap('j4', 2000)],
      ['p1', 'p2', 'p3', 'p4', 'p5'].map(panel),
    );
    const locked = edited(seamsDistribute(jobWithSide({ layout }), { sideId: 's1', seamId: 'j4' }));
    expect(regionJoints(layoutOf(locked)).map(({ atMm }) => atMm)).toEqual([600, 1200, 1800, 3965]);
  });

  it('spreads film evenly, bleed and what is printed past the seams counted, on whole units', () => {
    const job = smallJob();
    const spread = (stepMm?: number) =>
      edited(
        seamsDistribute(job, {
          sideId: 'left',
          seamId: 's1',
          of: 'film',
          ...(stepMm !== undefined && { stepMm }),
        }),
      );
    expect(regionJoints(layoutOf(spread())).map(({ atMm }) => atMm)).toEqual([1547.5]);
    const films = jobLayout(spread())[0]!.panels.map(({ film }) => film.width);
    expect(films).toEqual([1672.5, 1672.5]);
    expect(regionJoints(layoutOf(spread(1))).map(({ atMm }) => atMm)).toEqual([1548]);
    expect(regionJoints(layoutOf(spread(25.4 / 16))).map(({ atMm }) => atMm / 25.4)).toEqual([60.9375]);
  });
});

describe('changing joints', () => {
  const joints = (job: Job) => regionJoints(layoutOf(job));

  it('changes one, several or all seams of a side', () => {
    const one = edited(
      jointsChange(jobSample(), { sideId: 's1', seamIds: ['j2'], change: { firstMm: 31, secondMm: 57 } }),
    );
    expect(joints(one).map(({ firstMm, secondMm }) => [firstMm, secondMm])).toEqual([
      [14, 11],
      [31, 57],
      [14, 11],
    ]);
    const all = edited(
      jointsChange(jobSample(), { sideId: 's1', seamIds: 'all', change: { top: 'second' } }),
    );
    expect(joints(all).every(({ top }) => top === 'second')).toBe(true);
    expect(
      problemOf(jointsChange(jobSample(), { sideId: 's1', seamIds: ['j1', 'j8'], change: {} })).code,
    ).toBe('seam-unknown');
  });

  it('takes the allowances off a butt and gives them to a lap', () => {
    const butt = edited(
      jointsChange(jobSample(), { sideId: 's1', seamIds: ['j1'], change: { kind: 'butt' } }),
    );
    expect(joints(butt)[0]).toMatchObject({ kind: 'butt', firstMm: 0, secondMm: 0 });
    const again = edited(jointsChange(butt, { sideId: 's1', seamIds: ['j1'], change: { kind: 'lap' } }));
    expect(joints(again)[0]).toMatchObject({ kind: 'lap', firstMm: 10, secondMm: 15 });
    const wide = edited(
      jointsChange(butt, {
        sideId: 's1',
        seamIds: ['j1'],
        change: { kind: 'lap', firstMm: 44, secondMm: 46 },
      }),
    );
    expect(joints(wide)[0]).toMatchObject({ kind: 'lap', firstMm: 44, secondMm: 46 });
  });

  it('refuses an allowance that is no length', () => {
    for (const firstMm of [-1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(
        problemOf(jointsChange(jobSample(), { sideId: 's1', seamIds: 'all', change: { firstMm } })).code,
      ).toBe('job-field');
    }
    const onButt = jointsChange(jobSample(), {
      sideId: 's1',
      seamIds: ['j1'],
      change: { kind: 'butt', firstMm: 5 },
    });
    expect(problemOf(onButt).code).toBe('butt-with-overlap');
  });

  it('ED7 swapping the top swaps the allowances, and twice is nothing', () => {
    const once = edited(jointTopsSwap(jobSample(), { sideId: 's1', seamIds: ['j3'] }));
    expect(joints(once)[2]).toMatchObject({ top: 'second', firstMm: 11, secondMm: 14 });
    expect(edited(jointTopsSwap(once, { sideId: 's1', seamIds: ['j3'] }))).toEqual(jobSample());
  });

  it('moves the share of the upper part below for a trim in the shop, and back for one on the vehicle', () => {
    const seams = { sideId: 's1', seamIds: ['j3'] };
    const inShop = edited(seamTrimChange(jobSample(), { ...seams, trim: 'shop' }));
    expect(joints(inShop)[2]).toMatchObject({ top: 'first', firstMm: 0, secondMm: 25 });
    expect(jointTrim(inShop, joints(inShop)[2]!)).toBe('shop');
    // A new lap of 25 leaves 15 under and 10 to trim.
    const taped = edited(seamTrimChange(inShop, { ...seams, trim: 'gap' }));
    expect(joints(taped)[2]).toMatchObject({ trim: 'gap', firstMm: 10, secondMm: 15 });
    // What has something to trim keeps its shares.
    const kept = edited(seamTrimChange(jobSample(), { ...seams, trim: 'edge' }));
    expect(joints(kept)[2]).toMatchObject({ trim: 'edge', firstMm: 14, secondMm: 11 });
  });
});

describe('replacing a layout', () => {
  it('keeps the ids of panels and seams that lie where they lay', () => {
    const layout = split(
      'vertical',
      [lap('x1', 1290), lap('x2', 2000), lap('x3', 2710)],
      [panel('a'), panel('b'), panel('c'), split('horizontal', [lap('x4', 910)], [panel('d'), panel('e')])],
    );
    const job = edited(layoutReplace(jobSample(), { sideId: 's1', layout }));
    expect(treeText(layoutOf(job))).toBe('p1 |1290 p6 |2000 p7 |2710 (p9 -910 p10)');
    expect(regionJoints(layoutOf(job)).map(({ id }) => id)).toEqual(['j1', 'j5', 'j2', 'j8']);
  });

  it('refuses a layout that does not hold together', () => {
    const layout = split('vertical', [lap('x1', 7000)], [panel('a'), panel('b')]);
    expect(problemOf(layoutReplace(jobSample(), { sideId: 's1', layout })).code).toBe('seam-outside-region');
    const short = split('vertical', [lap('x1', 70), lap('x2', 90)], [panel('a'), panel('b')]);
    expect(problemOf(layoutReplace(jobSample(), { sideId: 's1', layout: short })).code).toBe(
      'parts-unlike-joints',
    );
  });
});

describe('sides, items and settings', () => {
  const rear = {
    code: 'RR',
    name: 'Rear',
    page: 2,
    artworkRect: { xMm: 3, yMm: 5, widthMm: 211, heightMm: 197 },
    front: 'none',
  } as const;

  it('adds a side with one panel and default bleed, changes, moves and removes it', () => {
    const added = edited(sideAdd(jobSample(), { side: rear }));
    expect(added.sides[1]).toMatchObject({
      id: 's5',
      code: 'RR',
      layout: panel('p6'),
      bleed: { top: 50, right: 50, bottom: 50, left: 50 },
    });
    const set = edited(
      sideSet(added, {
        sideId: 's5',
        change: { name: 'Rear door', measured: { widthMm: 2111, heightMm: 1973 } },
      }),
    );
    expect(set.sides[1]).toMatchObject({ name: 'Rear door', measured: { widthMm: 2111 } });
    expect(set.sides[0]).toBe(added.sides[0]);
    expect(edited(sideSet(set, { sideId: 's5', change: { notes: 'x' } })).sides[1]).toHaveProperty(
      'measured',
    );
    expect(edited(sideReorder(set, { sideId: 's5', toIndex: 0 })).sides.map(({ code }) => code)).toEqual([
      'RR',
      'LH',
    ]);
    expect(edited(sideRemove(set, { sideId: 's5' })).sides).toEqual(jobSample().sides);
  });

  it('notes what the tape showed at each dimension of a side, and forgets it', () => {
    const note = (job: Job, dimensionId: string, measuredMm: number | null) =>
      edited(sideCheckIn(job, { sideId: 's1', figure: { dimensionId, from: 'right' }, measuredMm }));
    const noted = note(note(note(jobSample(), 'width', 6141), 'line-7', 873), 'line-9', 1207);
    expect(noted.sides[0]).toMatchObject({
      measured: { widthMm: 6141 },
      checkIn: [
        { dimensionId: 'line-7', from: 'right', measuredMm: 873 },
        { dimensionId: 'line-9', from: 'right', measuredMm: 1207 },
      ],
    });
    const again = note(note(noted, 'line-7', 875), 'height', 2266);
    expect(again.sides[0]!.measured).toEqual({ widthMm: 6141, heightMm: 2266 });
    expect(again.sides[0]!.checkIn!.map(({ measuredMm }) => measuredMm)).toEqual([1207, 875]);
    const ids = ['width', 'height', 'line-7', 'line-9'];
    expect(ids.reduce((job, id) => note(job, id, null), again).sides).toEqual(jobSample().sides);
  });

  it('refuses a second side of one code, and a side that is smaller than its seams', () => {
    expect(problemOf(sideAdd(jobSample(), { side: { ...rear, code: 'LH' } })).code).toBe('side-code-twice');
    const small = { xMm: 31, yMm: 17, widthMm: 270, heightMm: 227 };
    expect(problemOf(sideSet(jobSample(), { sideId: 's1', change: { artworkRect: small } })).code).toBe(
      'seam-outside-region',
    );
    expect(problemOf(sideRemove(jobSample(), { sideId: 's7' })).code).toBe('side-unknown');
  });

  it('adds, changes, moves and removes lines, areas and openings', () => {
    const line = {
      name: 'Belt',
      kind: 'molding',
      direction: 'horizontal',
      atMm: 905,
      extent: { fromMm: 120, toMm: 5110 },
    } as const;
    let job = edited(itemAdd(jobSample(), { sideId: 's1', list: 'bodyLines', item: line }));
    expect(job.sides[0]!.bodyLines).toEqual([{ ...line, id: 'b5' }]);
    const rect = { xMm: 400, yMm: 310, widthMm: 1210, heightMm: 640 };
    job = edited(
      itemAdd(job, {
        sideId: 's1',
        list: 'noFilmAreas',
        item: { name: 'Window', kind: 'window', rect, clearanceMm: 20 },
      }),
    );
    job = edited(itemMove(job, { sideId: 's1', itemId: 'b5', byMm: { x: 30, y: -7 } }));
    expect(job.sides[0]!.bodyLines[0]).toMatchObject({ atMm: 898, extent: { fromMm: 150, toMm: 5140 } });
    job = edited(itemMove(job, { sideId: 's1', itemId: 'o6', byMm: { x: 13, y: 17 } }));
    expect(job.sides[0]!.noFilmAreas[0]!.rect).toEqual({ ...rect, xMm: 413, yMm: 327 });
    job = edited(
      itemSet(job, { sideId: 's1', list: 'noFilmAreas', itemId: 'o6', change: { kind: 'wheel-arch' } }),
    );
    expect(job.sides[0]!.noFilmAreas[0]).toMatchObject({ id: 'o6', kind: 'wheel-arch' });
    job = edited(itemRemove(job, { sideId: 's1', itemId: 'b5' }));
    job = edited(itemRemove(job, { sideId: 's1', itemId: 'o6' }));
    expect(job.sides).toEqual(jobSample().sides);
    expect(problemOf(itemRemove(job, { sideId: 's1', itemId: 'o6' })).code).toBe('item-unknown');
  });

  it('moves a vertical line across, and refuses an area of no size', () => {
    const line = { name: 'Door gap', kind: 'body-gap', direction: 'vertical', atMm: 1300 } as const;
    const job = edited(itemAdd(jobSample(), { sideId: 's1', list: 'bodyLines', item: line, id: 'gap' }));
    expect(
      edited(itemMove(job, { sideId: 's1', itemId: 'gap', byMm: { x: 8, y: 99 } })).sides[0]!.bodyLines[0],
    ).toMatchObject({ id: 'gap', atMm: 1308 });
    const rect = { xMm: 400, yMm: 310, widthMm: 0, heightMm: 640 };
    expect(
      problemOf(itemAdd(job, { sideId: 's1', list: 'noSeamAreas', item: { name: 'Logo', rect } })).code,
    ).toBe('job-field');
  });

  it('sets what is said once per job', () => {
    const laminate = { name: 'Cast laminate', kind: 'cast', finish: 'gloss', lotNumber: 'K7' } as const;
    const job = edited(
      jobSet(jobSample(), { change: { customer: 'Outreach desk', laminate, displayUnit: 'in' } }),
    );
    expect(job).toMatchObject({ customer: 'Outreach desk', laminate, displayUnit: 'in' });
    expect(edited(jobSet(job, { change: { notes: 'n' } })).laminate).toEqual(laminate);
    expect(edited(jobSet(job, { change: { laminate: null } }))).not.toHaveProperty('laminate');
    const printer = { ...job.printer, rollWidthMm: -5 };
    expect(problemOf(jobSet(job, { change: { printer } })).code).toBe('job-field');
  });

  it('acknowledges a finding once, and takes it back', () => {
    const given = { finding: 'lap-narrow/s1//j1///', by: 'Ida', note: 'short piece' };
    const job = edited(findingsAcknowledge(jobSample(), [given]));
    const again = edited(findingsAcknowledge(job, [{ ...given, by: 'Per' }]));
    expect(again.acknowledgements).toEqual([{ ...given, by: 'Per' }]);
    expect(edited(findingsUnacknowledge(again, { findings: [given.finding] })).acknowledgements).toEqual([]);
    expect(problemOf(findingsUnacknowledge(jobSample(), { findings: [given.finding] })).code).toBe(
      'finding-unknown',
    );
  });

  it('edits a side of a thousand seams by looking at each a few times, so that it follows a drag', () => {
    const reads = (panels: number) =>
      countedReads(jobWithSide({ layout: layoutOfMany(panels) }), (job) =>
        edited(seamMove(job, { sideId: 's1', seamId: `jm${(panels - 1) / 2}`, atMm: 3058.3 })),
      );
    expect(reads(1001)).toBeLessThan(60 * 1001);
    expect(reads(1001) / reads(501)).toBeLessThan(2.1);
  });
});
