import { describe, expect, it } from 'vitest';
import { sideMirror } from '../../../core/job/edits/edits.ts';
import {
  patternCount,
  patternFromSide,
  patternLaid,
  VehiclePattern,
} from '../../../core/job/edits/vehicle-pattern.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { smallJob } from '../../support/small-job.ts';

/** A left side with a front on the right, its opposite, and items that no two of share a figure. */
function twoSides(): Job {
  const job = smallJob();
  const [left] = job.sides;
  const full: Side = {
    ...left!,
    bodyLines: [
      { id: 'gap', name: 'Door gap', kind: 'panel-gap', direction: 'vertical', atMm: 1210 },
      {
        id: 'belt',
        name: 'Belt',
        kind: 'moulding',
        direction: 'horizontal',
        atMm: 570,
        extent: { fromMm: 90, toMm: 2410 },
      },
    ],
    hardAreas: [
      {
        id: 'h',
        name: 'Handle recess',
        kind: 'recess',
        rect: { xMm: 1330, yMm: 610, widthMm: 170, heightMm: 95 },
      },
    ],
    openings: [
      {
        id: 'o',
        name: 'Window',
        kind: 'window',
        rect: { xMm: 260, yMm: 120, widthMm: 640, heightMm: 380 },
        edgeMm: 21,
      },
    ],
  };
  const right: Side = {
    ...left!,
    id: 'right',
    code: 'RH',
    name: 'Right side',
    front: 'left',
    layout: { kind: 'panel', id: 'r1' },
  };
  return { ...job, sides: [full, right] };
}

const withoutIds = ({ bodyLines, hardAreas, openings }: Side) =>
  JSON.parse(
    JSON.stringify({ bodyLines, hardAreas, openings }, (key, value) => (key === 'id' ? undefined : value)),
  );

describe('the pattern of a vehicle', () => {
  const job = twoSides();
  const pattern = patternFromSide(job.sides[0]!, job.scale, 'Van, left side');

  it('counts from the front edge', () => {
    expect(patternCount(pattern)).toBe(4);
    // The front is on the right: 3,100 − 1,210.
    expect(pattern.bodyLines[0]).toMatchObject({ name: 'Door gap', atMm: 1890 });
    expect(VehiclePattern.safeParse(JSON.parse(JSON.stringify(pattern))).success).toBe(true);
  });

  it('laid on the opposite side gives what mirroring that side gives', () => {
    const laid = patternLaid(job, 'right', pattern);
    const mirrored = sideMirror(job, { fromSideId: 'left', toSideId: 'right' });
    if (!laid.ok || !mirrored.ok) throw new Error('refused');
    expect(withoutIds(laid.value.sides[1]!)).toEqual(withoutIds(mirrored.value.sides[1]!));
    expect(laid.value.sides[1]!.layout).toBe(job.sides[1]!.layout);
  });

  it('laid on a side like its own gives the same items again', () => {
    const bare = { ...job, sides: [{ ...job.sides[0]!, bodyLines: [], hardAreas: [], openings: [] }] };
    const laid = patternLaid(bare, 'left', pattern);
    if (!laid.ok) throw new Error('refused');
    expect(withoutIds(laid.value.sides[0]!)).toEqual(withoutIds(job.sides[0]!));
  });

  it('leaves out what does not lie on a shorter side', () => {
    const [, right] = job.sides;
    const short = { ...right!, artworkRect: { ...right!.artworkRect, widthMm: 150 } };
    const laid = patternLaid({ ...job, sides: [short] }, 'right', pattern);
    if (!laid.ok) throw new Error('refused');
    // 1,500 mm from the front: the door gap at 1,890 mm and the window behind it are beyond.
    expect(laid.value.sides[0]!.bodyLines.map(({ name }) => name)).toEqual(['Belt']);
    expect(laid.value.sides[0]!.openings).toEqual([]);
  });
});
