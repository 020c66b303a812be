import { describe, expect, it } from 'vitest';
import { layoutFindings } from '../../../core/findings/layout/findings.ts';
import { seamMove } from '../../../core/job/edits/edits.ts';
import { printerPrintWidth } from '../../../core/layout/panel-fit.ts';
import { jointFilmEdges } from '../../../core/layout/rivet-row.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import {
  pictureEdgePlaces,
  rivetRowPlaces,
  rollFilledPlaces,
  wordSpacePlaces,
} from '../../../core/layout/snap-places.ts';
import { smallJob } from '../../support/small-job.ts';

describe('film that fills the roll', () => {
  it('is found from both panels of a seam, and true once the seam is there', () => {
    const job = smallJob();
    const [layout] = jobLayout(job);
    const width = printerPrintWidth(job.printer);
    const places = rollFilledPlaces(layout!, layout!.seams[0]!, width);
    // Left of the seam: 1330 + 15 + 50 + 2 × 30 mm are 1455 of 1504 mm; right of it 1770 + 10 + 50 + 60 are 1890.
    expect(places.map(({ atMm }) => atMm)).toEqual([1379, 1716]);
    for (const { atMm } of places) {
      const moved = seamMove(job, { sideId: 'left', seamId: 's1', atMm });
      const films = moved.ok ? jobLayout(moved.value)[0]!.panels.map(({ film }) => film.width) : [];
      expect(films).toContain(width);
    }
  });
});

describe('rivet rows', () => {
  const row = {
    id: 'b1',
    name: 'Post 3',
    kind: 'rivet-row',
    direction: 'vertical',
    atMm: 1400,
    extent: { fromMm: 200, toMm: 1300 },
  } as const;
  const withRow = (displayUnit: 'mm' | 'in') => {
    const job = smallJob({ displayUnit });
    return { ...job, sides: job.sides.map((side) => ({ ...side, bodyLines: [row] })) };
  };
  const span = { start: 0, end: 1300 };

  it('draw a seam to both sides of them, where nothing ends too near to the heads', () => {
    for (const unit of ['mm', 'in'] as const) {
      const job = withRow(unit);
      const rivetFindings = (atMm: number) => {
        const moved = seamMove(job, { sideId: 'left', seamId: 's1', atMm });
        if (!moved.ok) throw new Error(moved.problem.message);
        return layoutFindings(moved.value, jobLayout(moved.value), {}).filter(
          ({ code }) => code === 'seam-near-rivet-row',
        );
      };
      const { joint, firstMm, secondMm, top } = jobLayout(job)[0]!.seams[0]!;
      const edges = jointFilmEdges({ kind: joint, firstMm, secondMm, top });
      const [before, after] = rivetRowPlaces(job, job.sides[0]!, edges, 'vertical', span);
      expect([before!.target, after!.target]).toEqual(
        [0, 1].map(() => ({ kind: 'beside-rivets', name: 'Post 3' })),
      );
      expect([before!, after!].flatMap(({ atMm }) => rivetFindings(atMm))).toEqual([]);
      expect([before!.atMm + 2, after!.atMm - 2].flatMap(rivetFindings)).toHaveLength(2);
    }
  });

  it('draw no seam that runs past them or the other way, nor one whose film ends in a gap', () => {
    const job = withRow('mm');
    const [side] = job.sides;
    expect(rivetRowPlaces(job, side!, [0], 'vertical', { start: 0, end: 150 })).toEqual([]);
    expect(rivetRowPlaces(job, side!, [0], 'horizontal', span)).toEqual([]);
    const atGap = jointFilmEdges({ kind: 'gap', firstMm: 10, secondMm: 10, top: 'first' });
    expect(rivetRowPlaces(job, side!, atGap, 'vertical', span)).toEqual([]);
  });
});

describe('edges of pictures', () => {
  it('draw a seam that runs beside the picture', () => {
    const pictures = [{ x: 120, y: 340, width: 560, height: 210 }];
    const at = (direction: 'vertical' | 'horizontal', start: number, end: number) =>
      pictureEdgePlaces(pictures, direction, { start, end });
    expect(at('vertical', 0, 2000)).toEqual([
      { atMm: 120, target: { kind: 'picture-edge' } },
      { atMm: 680, target: { kind: 'picture-edge' } },
    ]);
    expect(at('horizontal', 0, 2000).map(({ atMm }) => atMm)).toEqual([340, 550]);
    expect(at('vertical', 550, 2000)).toEqual([]);
  });
});

describe('spaces between words', () => {
  const rect = (x: number, y: number, width: number, height: number) => ({ x, y, width, height });
  const line = {
    id: 'text-1',
    rect: rect(200, 300, 900, 120),
    // The second word of the line comes first in the file.
    words: [rect(530, 300, 250, 120), rect(200, 300, 290, 120), rect(860, 300, 240, 120)],
    strokes: [],
    capHeightMm: 84,
    isSure: true,
  };

  it('draw a vertical seam to their middle where it runs through the line', () => {
    const at = (start: number, end: number) =>
      wordSpacePlaces([line], 'vertical', { start, end }).map(({ atMm }) => atMm);
    expect(at(0, 2000)).toEqual([510, 820]);
    expect(at(500, 2000)).toEqual([]);
    expect(wordSpacePlaces([line], 'horizontal', { start: 0, end: 2000 })).toEqual([]);
  });
});
