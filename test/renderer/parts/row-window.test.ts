import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MOST_ROWS, rowByKey, rowWindow, topWithRow } from '../../../renderer/parts/row-window.ts';

const VIEW = { topPx: 0, heightPx: 680, rowPx: 68, count: 100_000 };

describe('the rows of a long list that stand in the page', () => {
  it('are those that are seen, with some ahead, wherever it is scrolled to', () => {
    expect(rowWindow(VIEW)).toEqual({ first: 0, end: 27 });
    expect(rowWindow({ ...VIEW, topPx: 68 * 500 })).toEqual({ first: 492, end: 519 });
    expect(rowWindow({ ...VIEW, topPx: 68 * 99_990 })).toEqual({ first: 99_973, end: 100_000 });
    expect(rowWindow({ ...VIEW, count: 3 })).toEqual({ first: 0, end: 3 });
  });

  it('are never more than sixty, and always hold what is seen where sixty can', () => {
    const views = fc.record({
      topPx: fc.nat(70_000),
      heightPx: fc.integer({ min: 1, max: 5000 }),
      rowPx: fc.integer({ min: 20, max: 90 }),
      count: fc.integer({ min: 1, max: 1000 }),
    });
    fc.assert(
      fc.property(views, (any) => {
        const topPx = Math.min(any.topPx, Math.max(0, any.count * any.rowPx - any.heightPx));
        const { first, end } = rowWindow({ ...any, topPx });
        expect(end - first).toBeLessThanOrEqual(MOST_ROWS);
        expect(first).toBeGreaterThanOrEqual(0);
        expect(end).toBeLessThanOrEqual(any.count);
        if (any.heightPx / any.rowPx > MOST_ROWS - 2) return;
        expect(first * any.rowPx).toBeLessThanOrEqual(topPx);
        const seenEnd = Math.min(any.count * any.rowPx, topPx + any.heightPx);
        expect(end * any.rowPx).toBeGreaterThanOrEqual(seenEnd);
      }),
    );
  });

  it('are scrolled no further than a row needs to be seen whole', () => {
    const view = { ...VIEW, topPx: 6800 };
    expect(topWithRow(103, view)).toBe(6800);
    expect(topWithRow(99, view)).toBe(6732);
    expect(topWithRow(110, view)).toBe(6868);
  });

  it('are all reached by keys', () => {
    const to = (key: string, row: number) => rowByKey(key, row, VIEW);
    expect(to('ArrowDown', 7)).toBe(8);
    expect(to('ArrowUp', 7)).toBe(6);
    expect(to('ArrowUp', 0)).toBe(0);
    expect(to('PageDown', 7)).toBe(16);
    expect(to('PageUp', 31)).toBe(22);
    expect(to('Home', 512)).toBe(0);
    expect(to('End', 512)).toBe(99_999);
    expect(to('Enter', 5)).toBeUndefined();
    expect(rowByKey('End', 0, { ...VIEW, count: 0 })).toBeUndefined();
  });
});
