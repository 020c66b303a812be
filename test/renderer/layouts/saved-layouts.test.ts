import { describe, expect, it } from 'vitest';
import { sideMirror } from '../../../core/job/edits/edits.ts';
import {
  applySavedLayout,
  SavedLayout,
  savedItemCount,
  savedLayoutFromSide,
} from '../../../core/job/edits/saved-layout.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { smallJob } from '../../support/small-job.ts';

/** A left side with a front on the right, its opposite, and items that no two of share a figure. */
function twoSides(): Job {
  const job = smallJob();
  const [left] = job.sides;
  const full: Side = {
    ...left!,
    bodyLines: [
      { id: 'gap', name: 'Door gap', kind: 'body-gap', direction: 'vertical', atMm: 1210 },
      {
        id: 'belt',
        name: 'Belt',
        kind: 'molding',
        direction: 'horizontal',
        atMm: 570,
        extent: { fromMm: 90, toMm: 2410 },
      },
    ],
    ground: [
      {
        id: 'h',
        name: 'Handle recess',
        kind: 'recess',
        rect: { xMm: 1330, yMm: 610, widthMm: 170, heightMm: 95 },
      },
    ],
    noFilmAreas: [
      {
        id: 'o',
        name: 'Window',
        kind: 'window',
        rect: { xMm: 260, yMm: 120, widthMm: 640, heightMm: 380 },
        clearanceMm: 21,
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

const withoutIds = ({ bodyLines, ground, noFilmAreas }: Side) =>
  JSON.parse(
    JSON.stringify({ bodyLines, ground, noFilmAreas }, (key, value) => (key === 'id' ? undefined : value)),
  );

describe('the pattern of a vehicle', () => {
  const job = twoSides();
  const savedLayout = savedLayoutFromSide(job.sides[0]!, job.scale, 'Van, left side');

  it('counts from the front edge', () => {
    expect(savedItemCount(savedLayout)).toBe(4);
    // The front is on the right: 3,100 − 1,210.
    expect(savedLayout.bodyLines[0]).toMatchObject({ name: 'Door gap', atMm: 1890 });
    expect(SavedLayout.safeParse(JSON.parse(JSON.stringify(savedLayout))).success).toBe(true);
  });

  it('laid on the opposite side gives what mirroring that side gives', () => {
    const laid = applySavedLayout(job, 'right', savedLayout);
    const mirrored = sideMirror(job, { fromSideId: 'left', toSideId: 'right' });
    if (!laid.ok || !mirrored.ok) throw new Error('refused');
    expect(withoutIds(laid.value.sides[1]!)).toEqual(withoutIds(mirrored.value.sides[1]!));
    expect(laid.value.sides[1]!.layout).toBe(job.sides[1]!.layout);
  });

  it('laid on a side like its own gives the same items again', () => {
    const bare = { ...job, sides: [{ ...job.sides[0]!, bodyLines: [], ground: [], noFilmAreas: [] }] };
    const laid = applySavedLayout(bare, 'left', savedLayout);
    if (!laid.ok) throw new Error('refused');
    expect(withoutIds(laid.value.sides[0]!)).toEqual(withoutIds(job.sides[0]!));
  });

  it('leaves out what does not lie on a shorter side', () => {
    const [, right] = job.sides;
    const short = { ...right!, artworkRect: { ...right!.artworkRect, widthMm: 150 } };
    const laid = applySavedLayout({ ...job, sides: [short] }, 'right', savedLayout);
    if (!laid.ok) throw new Error('refused');
    // 1,500 mm from the front: the door gap at 1,890 mm and the window behind it are beyond.
    expect(laid.value.sides[0]!.bodyLines.map(({ name }) => name)).toEqual(['Belt']);
    expect(laid.value.sides[0]!.noFilmAreas).toEqual([]);
  });
});
