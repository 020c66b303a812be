import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type EditResult,
  findingsAcknowledge,
  itemAdd,
  itemRemove,
  jobSet,
  jointsChange,
  jointTopsSwap,
  panelSplit,
  scaleSet,
  seamMove,
  seamRemove,
  seamsDistribute,
  sideAdd,
  sideMirror,
  sideRemove,
} from '../../../core/job/edits/edits.ts';
import {
  historyEdited,
  historyOf,
  historyRedoLabel,
  historyRedone,
  historyUndoLabel,
  historyUndone,
  type JobHistory,
  MAX_HISTORY_STEPS,
} from '../../../core/job/history.ts';
import { jobInvariantProblem } from '../../../core/job/job-invariants.ts';
import { jobFromJson, jobToJson } from '../../../core/job/job-json.ts';
import { regionJoints, regionPanels, regionsPlaced } from '../../../core/job/region.ts';
import type { Job } from '../../../core/job/schema.ts';
import { seamInSplit } from '../../../core/job/seam-range.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { rectArea } from '../../../core/measure/rect.ts';
import { edited, jobSample, panel, sideSample } from './sample-job.ts';

/** A random edit: what to do, and two numbers from 0 to 1 that choose where. */
type Move = readonly [kind: number, a: number, b: number];

const pick = <T>(items: readonly T[], share: number): T | undefined =>
  items[Math.floor(share * items.length)];

const MOVES: ((job: Job, a: number, b: number) => EditResult | undefined)[] = [
  (job, a, b) => {
    const side = pick(job.sides, a);
    if (!side) return undefined;
    const leaves = regionsPlaced(side.layout, sideOutline(side, job.scale)).filter(
      ({ region }) => region.kind === 'panel',
    );
    const leaf = pick(leaves, b)!;
    const seams = a * 7 - Math.floor(a * 7) < 0.5 ? 'vertical' : 'horizontal';
    const { x, y, width, height } = leaf.rect;
    const share = 0.2 + b * 0.6;
    const atMm = seams === 'vertical' ? x + width * share : y + height * share;
    return leaf.region.kind === 'panel'
      ? panelSplit(job, { sideId: side.id, panelId: leaf.region.id, seams, atMm })
      : undefined;
  },
  (job, a, b) =>
    onSeam(job, a, (sideId, seamId) => {
      const side = job.sides.find(({ id }) => id === sideId)!;
      const { start, end } = seamInSplit(side.layout, sideOutline(side, job.scale), seamId)!.range;
      return seamMove(job, { sideId, seamId, atMm: start + (end - start) * (b * 1.2 - 0.1) });
    }),
  (job, a) => onSeam(job, a, (sideId, seamId) => seamRemove(job, { sideId, seamId })),
  (job, a, b) =>
    onSeam(job, a, (sideId, seamId) =>
      jointsChange(job, {
        sideId,
        seamIds: [seamId],
        change: { kind: pick(['lap', 'butt', 'gap'] as const, b)! },
      }),
    ),
  (job, a) => onSeam(job, a, (sideId, seamId) => jointTopsSwap(job, { sideId, seamIds: [seamId] })),
  (job, a) => onSeam(job, a, (sideId, seamId) => seamsDistribute(job, { sideId, seamId })),
  (job, a, b) => scaleSet(job, { scale: 5 + 15 * a, positions: b < 0.5 ? 'keep' : 'with-artwork' }),
  (job, a) => {
    const artworkRect = { xMm: 3 + a, yMm: 5, widthMm: 190 + 300 * a, heightMm: 197 };
    return sideAdd(job, {
      side: { code: `N${Math.floor(a * 1000)}`, name: 'New', page: 2, artworkRect, front: 'right' },
    });
  },
  (job, a) => (job.sides.length > 1 ? sideRemove(job, { sideId: pick(job.sides, a)!.id }) : undefined),
  (job, a) =>
    job.sides.length > 1
      ? sideMirror(job, {
          fromSideId: job.sides[a < 0.5 ? 0 : 1]!.id,
          toSideId: job.sides[a < 0.5 ? 1 : 0]!.id,
        })
      : undefined,
  (job, a, b) =>
    itemAdd(job, {
      sideId: pick(job.sides, a)!.id,
      list: 'bodyLines',
      item: { name: 'Line', kind: 'crease', direction: 'horizontal', atMm: b * 2000 },
    }),
  (job, a, b) => {
    const side = pick(job.sides, a)!;
    const item = pick(side.bodyLines, b);
    return item && itemRemove(job, { sideId: side.id, itemId: item.id });
  },
  (job, a) => jobSet(job, { change: { notes: `note ${a}` } }),
  (job, a) =>
    findingsAcknowledge(job, [{ finding: `panel-sliver/s1/p${Math.floor(a * 9)}////`, by: 'Ida', note: '' }]),
];

function onSeam(
  job: Job,
  a: number,
  edit: (sideId: string, seamId: string) => EditResult,
): EditResult | undefined {
  const seams = job.sides.flatMap((side) =>
    regionJoints(side.layout).map(({ id }) => ({ sideId: side.id, seamId: id })),
  );
  const seam = pick(seams, a);
  return seam && edit(seam.sideId, seam.seamId);
}

// Whole thousandths: random floating-point numbers would nearly all lie close to 0.
const share = fc.integer({ min: 0, max: 999 }).map((n) => n / 1000);
const moves = fc.array(fc.tuple(fc.nat(MOVES.length - 1), share, share) satisfies fc.Arbitrary<Move>, {
  minLength: 1,
  maxLength: 25,
});

const START = jobSample({
  sides: [sideSample(), sideSample({ id: 's2', code: 'RH', layout: panel('p9'), front: 'right' })],
});

function historyAfter(
  steps: readonly Move[],
  check: (job: Job, before: Job) => void = () => undefined,
): JobHistory {
  return steps.reduce<JobHistory>((history, [kind, a, b]) => {
    const result = MOVES[kind]!(history.present, a, b);
    if (!result?.ok) return history;
    check(result.value, history.present);
    return historyEdited(history, { label: `edit ${kind}`, job: result.value });
  }, historyOf(START));
}

const ids = (job: Job) =>
  job.sides.flatMap((side) =>
    [...regionPanels(side.layout), ...regionJoints(side.layout)].map(({ id }) => id),
  );

describe('edits and history', () => {
  it('any run of edits undone gives the first job, and redone the last', () => {
    fc.assert(
      fc.property(moves, (steps) => {
        let history = historyAfter(steps);
        const last = history.present;
        const count = history.past.length;
        const asStored = jobToJson(last);
        for (let n = 0; n < count; n++) history = historyUndone(history);
        expect(history.present).toBe(START);
        expect(historyUndone(history)).toBe(history);
        for (let n = 0; n < count; n++) history = historyRedone(history);
        expect(history.present).toBe(last);
        expect(historyRedone(history)).toBe(history);
        expect(jobToJson(history.present)).toBe(asStored);
      }),
      { numRuns: 150 },
    );
  });

  it('after any edit the job is sound, can be stored and read, and its panels tile each side', () => {
    fc.assert(
      fc.property(moves, (steps) => {
        historyAfter(steps, (job) => {
          expect(jobInvariantProblem(job)).toBeUndefined();
          expect(jobFromJson(jobToJson(job))).toEqual({ ok: true, value: job });
          for (const { panels, outline } of jobLayout(job)) {
            const area = panels.reduce((sum, { net }) => sum + rectArea(net), 0);
            expect(area / rectArea(outline)).toBeCloseTo(1, 9);
          }
        });
      }),
      { numRuns: 60 },
    );
  });

  it('no edit gives an id that the job had before and lost', () => {
    fc.assert(
      fc.property(moves, (steps) => {
        const ever = new Set(ids(START));
        historyAfter(steps, (job, before) => {
          const present = new Set(ids(before));
          for (const id of ids(job)) {
            if (!present.has(id)) expect(ever.has(id), `${id} came back`).toBe(false);
            ever.add(id);
          }
        });
      }),
      { numRuns: 150 },
    );
  });

  it('an edit shares with the job before it whatever it left alone', () => {
    const after = edited(seamMove(START, { sideId: 's1', seamId: 'j1', atMm: 1333 }));
    expect(after.sides[1]).toBe(START.sides[1]);
    expect(after.sides[0]!.bleed).toBe(START.sides[0]!.bleed);
    const [layoutBefore, layoutAfter] = [START.sides[0]!.layout, after.sides[0]!.layout];
    expect(
      layoutBefore.kind === 'split' &&
        layoutAfter.kind === 'split' &&
        layoutAfter.parts[2] === layoutBefore.parts[2],
    ).toBe(true);
  });

  it('one drag is one step; an edit after undo lets go of what could be redone', () => {
    const at = (atMm: number) => edited(seamMove(START, { sideId: 's1', seamId: 'j1', atMm }));
    let history = historyOf(START);
    for (const atMm of [1301, 1312, 1327])
      history = historyEdited(history, { label: 'Move seam', job: at(atMm), gesture: 'drag 1' });
    history = historyEdited(history, { label: 'Move seam', job: at(1350), gesture: 'drag 2' });
    expect(history.past).toHaveLength(2);
    history = historyUndone(history);
    expect(regionJoints(history.present.sides[0]!.layout)[0]!.atMm).toBe(1327);
    expect([historyUndoLabel(history), historyRedoLabel(history)]).toEqual(['Move seam', 'Move seam']);
    history = historyEdited(history, {
      label: 'Notes',
      job: edited(jobSet(history.present, { change: { notes: 'n' } })),
      gesture: 'drag 1',
    });
    expect(history.past).toHaveLength(2);
    expect(historyRedoLabel(history)).toBeUndefined();
    expect(historyUndoLabel(history)).toBe('Notes');
  });

  it('keeps a bounded number of steps, and takes no step for no change', () => {
    let history = historyOf(START);
    expect(historyEdited(history, { label: 'nothing', job: START })).toBe(history);
    for (let n = 0; n < MAX_HISTORY_STEPS + 37; n++) {
      history = historyEdited(history, { label: `${n}`, job: { ...START, notes: `${n}` } });
    }
    expect(history.past).toHaveLength(MAX_HISTORY_STEPS);
    for (let n = 0; n < MAX_HISTORY_STEPS; n++) history = historyUndone(history);
    expect(history.present.notes).toBe('36');
  });
});
