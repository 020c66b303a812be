import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { positionsSpread } from '../../../core/sheets/edge-labels.ts';
import { fewestPages } from '../../../core/sheets/fewest-pages.ts';
import { type Column, type FlowPiece, flowed, rowsKept } from '../../../core/sheets/flow.ts';
import { sharedEvenly } from '../../../core/sheets/panel-cards.ts';
import { stretches } from '../../../core/sheets/part-pages.ts';
import { largestScale, scaleDesignation } from '../../../core/sheets/sheet-scale.ts';

describe('placing on sheets', () => {
  it('spreads labels apart within their edge and keeps their order, or says that there is no room', () => {
    const anyEdge = fc.record({
      wanted: fc.array(fc.double({ min: 0, max: 200, noNaN: true }), { maxLength: 30 }),
      pitch: fc.double({ min: 0.5, max: 15, noNaN: true }),
      to: fc.double({ min: 10, max: 210, noNaN: true }),
    });
    fc.assert(
      fc.property(anyEdge, ({ wanted, pitch, to }) => {
        const sorted = wanted.toSorted((a, b) => a - b);
        const placed = positionsSpread(sorted, pitch, 5, to);
        if (!placed) {
          expect((sorted.length - 1) * pitch).toBeGreaterThan(to - 5);
          return;
        }
        expect(placed).toHaveLength(sorted.length);
        for (const [index, at] of placed.entries()) {
          expect(at).toBeGreaterThanOrEqual(5 - 1e-9);
          expect(at).toBeLessThanOrEqual(to + 1e-9);
          if (index > 0) expect(at - placed[index - 1]!).toBeGreaterThanOrEqual(pitch - 1e-9);
        }
      }),
      { seed: 7 },
    );
    expect(positionsSpread([10, 11, 40], 4, 0, 50)).toEqual([10, 14, 40]);
  });

  it('cuts a side into the fewest parts that fit, at seams where they lie in reach', () => {
    expect(stretches(0, 100, [30, 36, 71], 40)).toEqual([
      [0, 36],
      [36, 71],
      [71, 100],
    ]);
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 500, noNaN: true }),
        fc.array(fc.double({ min: 0, max: 500, noNaN: true }), { maxLength: 20 }),
        fc.double({ min: 20, max: 200, noNaN: true }),
        (end, cuts, longest) => {
          const parts = stretches(0, end, cuts, longest);
          expect(parts[0]![0]).toBe(0);
          expect(parts.at(-1)![1]).toBe(end);
          expect(parts).toHaveLength(Math.max(1, Math.ceil(end / longest - 1e-9)));
          for (const [index, [from, to]] of parts.entries()) {
            expect(to - from).toBeLessThanOrEqual(longest + 1e-3);
            if (index > 0) expect(from).toBe(parts[index - 1]![1]);
          }
        },
      ),
      { seed: 8 },
    );
  });

  it('shares cards evenly among the fewest pages', () => {
    const lengths = (count: number, most: number) =>
      sharedEvenly(
        Array.from({ length: count }, (_, index) => index),
        most,
      ).map((part) => part.length);
    expect(lengths(13, 6)).toEqual([5, 4, 4]);
    expect(lengths(9, 4)).toEqual([3, 3, 3]);
    expect(lengths(36, 6)).toEqual([6, 6, 6, 6, 6, 6]);
    expect(lengths(0, 4)).toEqual([]);
    expect(sharedEvenly([1, 2, 3, 4, 5], 4).flat()).toEqual([1, 2, 3, 4, 5]);
  });

  it('chooses the largest of the standard scales', () => {
    // ISO 5455: reductions 1:2, 1:5, 1:10 and so on by tens.
    expect(largestScale((oneTo) => 7200 / oneTo <= 400)).toBe(20);
    expect(largestScale((oneTo) => 16_154 / oneTo <= 400)).toBe(50);
    expect(largestScale((oneTo) => 83 / oneTo <= 400)).toBe(1);
    expect(scaleDesignation(50)).toBe('SCALE 1:50');
  });

  it('fills columns without running over and never leaves a heading alone', () => {
    const anyTable = fc.record({
      rows: fc.array(fc.integer({ min: 3, max: 20 }), { minLength: 1, maxLength: 40 }),
      first: fc.integer({ min: 5, max: 60 }),
    });
    fc.assert(
      fc.property(anyTable, ({ rows, first }) => {
        const drawn: { what: string; column: number; y: number; height: number }[] = [];
        const columns: Column[] = [];
        const piece = (what: string, heightMm: number, more: Partial<FlowPiece> = {}): FlowPiece => ({
          heightMm,
          draw: (_, y) => {
            drawn.push({ what, column: columns.length - 1, y, height: heightMm });
            return [];
          },
          ...more,
        });
        const head = piece('head', 4);
        flowed(
          [
            () => [
              piece('heading', 6, { isHeading: true }),
              { ...head, isHeading: true },
              ...rows.map((height, index) => piece(`row ${index}`, height, { repeated: head })),
            ],
          ],
          () => {
            const heightMm = columns.length === 0 ? first : 60;
            columns.push({ xMm: 0, yMm: 10, widthMm: 50, heightMm, items: [] });
            return columns.at(-1)!;
          },
        );
        for (const { column, y, height } of drawn) {
          expect(y + height).toBeLessThanOrEqual(10 + columns[column]!.heightMm + 1e-6);
        }
        expect(drawn.filter(({ what }) => what.startsWith('row'))).toHaveLength(rows.length);
        const heading = drawn.find(({ what }) => what === 'heading')!;
        expect(drawn.find(({ what }) => what === 'row 0')!.column).toBe(heading.column);
        const starts = new Set(drawn.map(({ column }) => column));
        for (const column of starts) {
          const top = drawn.filter((piece) => piece.column === column)[0]!;
          expect(['heading', 'head']).toContain(top.what);
        }
      }),
      { seed: 9 },
    );
  });

  it('leaves no row alone at the foot or the head of a column', () => {
    // Worked: columns of 37. Below the text of 19 and a gap of 4 are 14, too few for the heading of 7 and two rows of
    // 8; in the next column 7 + 3 × 8 = 31 would fit, but the fourth row would then stand alone in the third.
    const columns: string[][] = [];
    const row = (what: string, heightMm: number, more: Partial<FlowPiece> = {}): FlowPiece => ({
      heightMm,
      draw: () => {
        columns.at(-1)!.push(what);
        return [];
      },
      ...more,
    });
    const rows = rowsKept([1, 2, 3, 4].map((n) => row(`row ${n}`, 8)));
    const flow = flowed(
      [() => [row('text', 19)], () => [row('heading', 7, { isHeading: true }), ...rows]],
      () => {
        columns.push([]);
        return { xMm: 0, yMm: 10, widthMm: 50, heightMm: 37, items: [] };
      },
    );
    expect(columns).toEqual([['text'], ['heading', 'row 1', 'row 2'], ['row 3', 'row 4']]);
    expect(flow).toEqual({ tears: 1, lastFill: 16 / 37 });
  });

  it('moves a heading along with rows that stay together, where both are more than is kept', () => {
    // Worked: below the text of 60 are 36 of 100. The heading with its long tied rows is 7 + 44 + 44 = 95, over the 90
    // that are kept; its rows alone are 88, and go on to the next column.
    const columns: string[][] = [];
    const piece = (what: string, heightMm: number, more: Partial<FlowPiece> = {}): FlowPiece => ({
      heightMm,
      draw: () => {
        columns.at(-1)!.push(what);
        return [];
      },
      ...more,
    });
    const rows = rowsKept([piece('row 1', 44), piece('row 2', 44)]);
    flowed([() => [piece('text', 60)], () => [piece('heading', 7, { isHeading: true }), ...rows]], () => {
      columns.push([]);
      return { xMm: 0, yMm: 10, widthMm: 50, heightMm: 100, items: [] };
    });
    expect(columns).toEqual([['text'], ['heading', 'row 1', 'row 2']]);
  });

  it('leaves no page blank before what is too tall to stand with its heading', () => {
    const columns: string[][] = [];
    const piece = (what: string, heightMm: number, more: Partial<FlowPiece> = {}): FlowPiece => ({
      heightMm,
      draw: () => {
        columns.at(-1)!.push(what);
        return [];
      },
      ...more,
    });
    flowed(
      [() => [piece('text', 60)], () => [piece('heading', 7, { isHeading: true }), piece('picture', 98)]],
      () => {
        columns.push([]);
        return { xMm: 0, yMm: 10, widthMm: 50, heightMm: 100, items: [], isWholePage: true };
      },
    );
    expect(columns).toEqual([['text'], ['heading'], ['picture']]);
  });

  it('takes the first way that fills the fewest pages, then the one that tears the fewest tables', () => {
    const way = (count: number, faults: number, name: string) => () => ({
      pages: Array.from({ length: count }, () => ({ head: { title: name }, items: [] })),
      faults,
      hasSmallRest: name === 'rest',
    });
    const chosen = (...ways: ReturnType<typeof way>[]) => fewestPages(ways)[0]!.head.title;
    expect(chosen(way(3, 0, 'usual'), way(2, 4, 'tighter'), way(2, 1, 'shorter'))).toBe('shorter');
    expect(chosen(way(2, 1, 'usual'), way(2, 1, 'tighter'))).toBe('usual');
    expect(chosen(way(1, 0, 'usual'), way(1, 0, 'tighter'))).toBe('usual');
    // A small rest takes something along, unless that needs one page more.
    const rescued = (count: number) =>
      fewestPages([way(2, 0, 'rest')], [way(count, 3, 'taken along')])[0]!.head.title;
    expect([rescued(2), rescued(3)]).toEqual(['taken along', 'rest']);
  });
});
