import { describe, expect, it } from 'vitest';
import { pointSnap, sideSnapLines } from '../../../core/layout/point-snap.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobSample, sideSample } from '../job/sample-job.ts';

const side = sideSample({
  guides: [{ id: 'g1', direction: 'horizontal', atMm: 1503 }],
  bodyLines: [
    {
      id: 'b1',
      name: 'belt',
      kind: 'molding',
      direction: 'horizontal',
      atMm: 905,
      extent: { fromMm: 2800, toMm: 5000 },
    },
  ],
  noFilmAreas: [
    {
      id: 'o1',
      name: 'Door glass',
      kind: 'window',
      rect: { xMm: 400, yMm: 210, widthMm: 730, heightMm: 590 },
      clearanceMm: 12,
    },
  ],
});
const [layout] = jobLayout({ ...jobSample(), sides: [side] });
const lines = sideSnapLines(layout!, [{ x: 5100, y: 300, width: 620, height: 410 }]);
const snap = (x: number, y: number) => pointSnap(lines, { x, y }, 20);

describe('a point on a side', () => {
  it('is drawn across and down for itself, with what holds it', () => {
    expect(snap(1139, 215)).toEqual({
      point: { x: 1130, y: 210 },
      targets: [
        { kind: 'area-edge', name: 'Door glass' },
        { kind: 'area-edge', name: 'Door glass' },
      ],
    });
    expect(snap(5714, 1490)).toEqual({ point: { x: 5714, y: 1503 }, targets: [{ kind: 'guide' }] });
    expect(snap(5714, 700)).toMatchObject({
      point: { x: 5720, y: 710 },
      targets: [{ kind: 'picture-edge' }, { kind: 'picture-edge' }],
    });
    expect(snap(1300, 2260)).toEqual({
      point: { x: 1290, y: 2270 },
      targets: [{ kind: 'seam' }, { kind: 'side-edge' }],
    });
  });

  it('heeds a line only where it runs, and the nearest of several', () => {
    expect(snap(3300, 900)).toMatchObject({
      point: { y: 905 },
      targets: [{ kind: 'body-line', name: 'belt' }],
    });
    expect(snap(2100, 905)).toEqual({ point: { x: 2100, y: 905 }, targets: [] });
  });
});
