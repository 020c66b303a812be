import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BodyLine } from '../../../core/job/schema.ts';
import { seamInSplit } from '../../../core/job/seam-range.ts';
import { seamSnap, snapRequestOfSeam } from '../../../core/job/seam-snap.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { sideSample } from './sample-job.ts';

const line = (
  id: string,
  direction: BodyLine['direction'],
  atMm: number,
  extent?: BodyLine['extent'],
): BodyLine => ({
  id,
  name: id,
  kind: 'crease',
  direction,
  atMm,
  ...(extent ? { extent } : {}),
});

const side = sideSample({
  bodyLines: [
    line('door', 'vertical', 1307),
    line('post', 'vertical', 1340),
    line('belt', 'horizontal', 905, { fromMm: 2800, toMm: 5000 }),
    line('step', 'horizontal', 880, { fromMm: 0, toMm: 2000 }),
    line('far', 'vertical', 2950),
  ],
});
const outline = sideOutline(side, 10);

function snap(seamId: string, atMm: number, reachMm = 30) {
  const seam = seamInSplit(side.layout, outline, seamId)!;
  return seamSnap(side, snapRequestOfSeam(seam, { atMm, reachMm, stepMm: 10 }));
}

describe('snapping a seam', () => {
  it('SN1 draws it to the nearest body line of its direction', () => {
    expect(snap('j1', 1318)).toEqual({
      atMm: 1307,
      target: { kind: 'body-line', lineId: 'door', name: 'door' },
    });
    expect(snap('j1', 1330)).toMatchObject({ atMm: 1340, target: { lineId: 'post' } });
  });

  it('SN1 heeds a body line only where it runs beside the seam', () => {
    expect(snap('j3', 891)).toMatchObject({ atMm: 905, target: { lineId: 'belt' } });
  });

  it('SN1 draws it onto no rivet row', () => {
    const rows = side.bodyLines.map((each) => ({ ...each, kind: 'rivet-row' as const }));
    const seam = seamInSplit(side.layout, outline, 'j1')!;
    const request = snapRequestOfSeam(seam, { atMm: 1308, reachMm: 30, stepMm: 10 });
    expect(seamSnap({ ...side, bodyLines: rows }, request).target).not.toMatchObject({ kind: 'body-line' });
  });

  it('SN1 draws it to a guide line before a body line that is nearer', () => {
    const guided = { ...side, guides: [{ id: 'g1', direction: 'vertical' as const, atMm: 1325 }] };
    const seam = seamInSplit(guided.layout, outline, 'j1')!;
    const request = snapRequestOfSeam(seam, { atMm: 1308, reachMm: 30, stepMm: 10 });
    expect(seamSnap(guided, request)).toEqual({ atMm: 1325, target: { kind: 'guide' } });
    expect(seamSnap(guided, { ...request, direction: 'horizontal' }).target).not.toEqual({ kind: 'guide' });
  });

  it('draws it to an equal division where no body line is near', () => {
    expect(snap('j1', 2030)).toEqual({ atMm: 6130 / 3, target: { kind: 'equal-division', nth: 1, of: 3 } });
    expect(snap('j3', 1130)).toEqual({ atMm: 1135, target: { kind: 'equal-division', nth: 1, of: 2 } });
  });

  it('draws it to whole units last, and to nothing out of reach', () => {
    expect(snap('j1', 1663, 6)).toEqual({ atMm: 1660, target: { kind: 'whole-unit', stepMm: 10 } });
    expect(snap('j1', 1664.4, 3)).toEqual({ atMm: 1664.4, target: { kind: 'none' } });
  });

  it('never draws a seam out of its range', () => {
    expect(snap('j1', 2941, 30).target).not.toMatchObject({ kind: 'body-line' });
    fc.assert(
      fc.property(
        fc.constantFrom('j1', 'j2', 'j3'),
        fc.integer({ min: 1, max: 61_290 }).map((n) => n / 10),
        (seamId, atMm) => {
          const { range } = seamInSplit(side.layout, outline, seamId)!;
          const { atMm: to, target } = snap(seamId, atMm);
          if (target.kind === 'none') expect(to).toBe(atMm);
          else expect(to > range.start && to < range.end && Math.abs(to - atMm) <= 30).toBe(true);
        },
      ),
    );
  });
});
