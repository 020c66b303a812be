import { describe, expect, it } from 'vitest';
import { sideMirror } from '../../../../core/job/edits/edits.ts';
import type { Side } from '../../../../core/job/schema.ts';
import { sideLayout } from '../../../../core/layout/side-layout.ts';
import { edited, jobSample, lap, panel, sideSample, split } from '../sample-job.ts';

/** The right side: 6190 mm wide, 60 mm longer at the rear than the left side. */
const right = (more: Partial<Side> = {}): Side =>
  sideSample({
    id: 's2',
    code: 'RH',
    name: 'Right side',
    page: 2,
    artworkRect: { xMm: 23, yMm: 19, widthMm: 619, heightMm: 227 },
    front: 'right',
    layout: panel('p9'),
    ...more,
  });

const left = sideSample({
  bodyLines: [
    {
      id: 'b1',
      name: 'Belt',
      kind: 'crease',
      direction: 'horizontal',
      atMm: 905,
      extent: { fromMm: 100, toMm: 2350 },
    },
    { id: 'b2', name: 'Door gap', kind: 'body-gap', direction: 'vertical', atMm: 1310 },
  ],
  noSeamAreas: [{ id: 'k1', name: 'Name', rect: { xMm: 3000, yMm: 300, widthMm: 1700, heightMm: 410 } }],
  ground: [
    {
      id: 'h1',
      name: 'Recess',
      kind: 'recess',
      rect: { xMm: 5200, yMm: 1100, widthMm: 130, heightMm: 170 },
      depth: {
        along: 'width',
        shape: {
          kind: 'profile',
          points: [
            { atMm: 10, depthMm: 0 },
            { atMm: 25, depthMm: 40 },
            { atMm: 130, depthMm: 7 },
          ],
        },
      },
    },
  ],
  noFilmAreas: [
    {
      id: 'o1',
      name: 'Window',
      kind: 'window',
      rect: { xMm: 210, yMm: 230, widthMm: 870, heightMm: 560 },
      clearanceMm: 20,
    },
  ],
});

const job = jobSample({
  sides: [left, right({ notes: 'own', bleed: { top: 1, right: 2, bottom: 3, left: 4 } })],
});

describe('mirroring a side onto the opposite one', () => {
  const mirrored = edited(sideMirror(job, { fromSideId: 's1', toSideId: 's2' }));
  const side = mirrored.sides[1]!;

  it('MIR1 keeps distances from the front edge, left and right exchanged', () => {
    // 6190 − 2710 = 3480 and 6190 − 1290 = 4900.
    expect(side.layout).toEqual(
      split(
        'vertical',
        [
          lap(side.layout.kind === 'split' ? side.layout.joints[0]!.id : '', 3480, {
            firstMm: 11,
            secondMm: 14,
            top: 'second',
          }),
          lap(side.layout.kind === 'split' ? side.layout.joints[1]!.id : '', 4900, {
            firstMm: 11,
            secondMm: 14,
            top: 'second',
          }),
        ],
        [
          split('horizontal', [lap('j12', 890)], [panel('p13'), panel('p14')]),
          panel('p15'),
          panel('p16'),
        ].map((region) => expect.objectContaining({ kind: region.kind })),
      ),
    );
    expect(side.bodyLines[0]).toMatchObject({
      name: 'Belt',
      atMm: 905,
      extent: { fromMm: 3840, toMm: 6090 },
    });
    expect(side.bodyLines[1]).toMatchObject({ name: 'Door gap', atMm: 4880 });
    expect(side.noSeamAreas[0]!.rect).toEqual({ xMm: 1490, yMm: 300, widthMm: 1700, heightMm: 410 });
    expect(side.ground[0]!.rect).toEqual({ xMm: 860, yMm: 1100, widthMm: 130, heightMm: 170 });
    expect(side.ground[0]!.depth!.shape).toMatchObject({
      points: [
        { atMm: 0, depthMm: 7 },
        { atMm: 105, depthMm: 40 },
        { atMm: 120, depthMm: 0 },
      ],
    });
    expect(side.noFilmAreas[0]!.rect).toEqual({ xMm: 5110, yMm: 230, widthMm: 870, heightMm: 560 });
  });

  it('MIR1 leaves the other side and what is its own, and gives fresh ids', () => {
    expect(mirrored.sides[0]).toBe(left);
    expect(side).toMatchObject({
      id: 's2',
      code: 'RH',
      front: 'right',
      notes: 'own',
      bleed: { top: 1, right: 2, bottom: 3, left: 4 },
    });
    const ids = JSON.stringify([
      side.layout,
      side.bodyLines,
      side.noSeamAreas,
      side.ground,
      side.noFilmAreas,
    ]).match(/"id":"[^"]+"/g)!;
    expect(ids).toHaveLength(12);
    expect(new Set(ids).size).toBe(12);
    expect(ids.every((id) => Number(/\d+/.exec(id)![0]) > 9)).toBe(true);
  });

  it('measures from the rear side back to the same places', () => {
    const back = edited(sideMirror(mirrored, { fromSideId: 's2', toSideId: 's1' }));
    const places = (s: Side) => JSON.stringify({ ...s, id: '' }).replaceAll(/"id":"[^"]*"/g, '');
    expect(places(back.sides[0]!)).toBe(places(left));
  });

  it('lays the mirrored panels in the mirrored order', () => {
    const places = (of: Side, axis: number, sign: number) =>
      sideLayout(mirrored, of).panels.map(({ net, order }) => ({
        order,
        center: axis + sign * (net.x + net.width / 2),
        top: net.y,
      }));
    const onLeft = places(left, 0, 1);
    const onRight = places(side, 6190, -1);
    expect(onRight.map(({ order, top }) => [order, top])).toEqual(
      onLeft.map(({ order, top }) => [order, top]),
    );
    // The rearmost panels are 60 mm longer on the right, so their centers are 30 mm further back.
    const shifts = onRight.map(
      ({ center }, index) => Math.round((center - onLeft[index]!.center) * 1e6) / 1e6,
    );
    expect(shifts.toSorted((a, b) => a - b)).toEqual([0, 0, 30, 30]);
  });

  it('refuses a side onto itself, and one that is too short for the seams', () => {
    expect(sideMirror(job, { fromSideId: 's1', toSideId: 's1' })).toMatchObject({
      problem: { code: 'mirror-onto-itself' },
    });
    const short = right({ artworkRect: { xMm: 23, yMm: 19, widthMm: 260, heightMm: 227 } });
    expect(
      sideMirror(jobSample({ sides: [left, short] }), { fromSideId: 's1', toSideId: 's2' }),
    ).toMatchObject({
      problem: { code: 'seam-outside-region' },
    });
  });
});
