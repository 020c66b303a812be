import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Point } from '../../../core/measure/rect.ts';
import {
  mmFromPx,
  type PxPoint,
  TRUE_SIZE_PX_PER_MM,
  type Viewport,
  viewportFitted,
  viewportKeptInSight,
  viewportPanned,
  viewportRect,
  viewportShowing,
  viewportZoomed,
} from '../../../renderer/bench/viewport.ts';

const content = { x: -70, y: -50, width: 7340, height: 2440 };
const size = { widthPx: 937, heightPx: 411 };

const anyView = fc.record({
  xMm: fc.double({ min: -9000, max: 9000, noNaN: true }),
  yMm: fc.double({ min: -9000, max: 9000, noNaN: true }),
  pxPerMm: fc.double({ min: 0.02, max: 25, noNaN: true }),
});
const anyPx = fc.record({
  xPx: fc.double({ min: 0, max: 937, noNaN: true }),
  yPx: fc.double({ min: 0, max: 411, noNaN: true }),
});

/** Pixels from millimeters, as the drawing's view box leads. */
const pxFromMm = (view: Viewport, { x, y }: Point): PxPoint => ({
  xPx: (x - view.xMm) * view.pxPerMm,
  yPx: (y - view.yMm) * view.pxPerMm,
});

describe('the viewport of the bench', () => {
  it('leads from pixels to millimeters and back', () => {
    fc.assert(
      fc.property(anyView, anyPx, (view, px) => {
        const back = pxFromMm(view, mmFromPx(view, px));
        expect(back.xPx).toBeCloseTo(px.xPx, 6);
        expect(back.yPx).toBeCloseTo(px.yPx, 6);
      }),
    );
  });

  it('shows one finished millimeter as 96/25.4 CSS pixels at 1:1', () => {
    // CSS Values and Units Level 4, 6.2: 1in = 25.4mm = 96px.
    expect(TRUE_SIZE_PX_PER_MM).toBeCloseTo(3.7795275590551, 12);
  });

  it('keeps the point under the pointer where it is while zooming', () => {
    fc.assert(
      fc.property(anyView, anyPx, fc.double({ min: 0.3, max: 3, noNaN: true }), (view, px, factor) => {
        const before = mmFromPx(view, px);
        const after = mmFromPx(viewportZoomed(view, factor, px, { content, size }), px);
        expect(after.x).toBeCloseTo(before.x, 6);
        expect(after.y).toBeCloseTo(before.y, 6);
      }),
    );
  });

  it('zooms neither beyond eight times finished size nor out to a speck', () => {
    const view = viewportFitted(content, size, 28);
    const middle = { xPx: 468, yPx: 205 };
    const limits = { content, size };
    expect(viewportZoomed(view, 1e6, middle, limits).pxPerMm).toBeCloseTo(8 * TRUE_SIZE_PX_PER_MM, 9);
    const smallest = viewportZoomed(view, 1e-6, middle, limits).pxPerMm;
    expect(smallest).toBeCloseTo(viewportFitted(content, size, 0).pxPerMm / 2, 9);
  });

  it('fits everything with a margin, in the middle', () => {
    const view = viewportFitted(content, size, 28);
    const corner = pxFromMm(view, { x: -70, y: -50 });
    const opposite = pxFromMm(view, { x: 7270, y: 2390 });
    expect(corner.xPx).toBeCloseTo(28, 6);
    expect(opposite.xPx).toBeCloseTo(937 - 28, 6);
    expect(corner.yPx).toBeCloseTo(411 - opposite.yPx, 6);
    expect(corner.yPx).toBeGreaterThan(28);
  });

  it('pans by pixels, whatever the zoom', () => {
    const view = { xMm: 100, yMm: 40, pxPerMm: 0.25 };
    expect(viewportPanned(view, { xPx: 30, yPx: -5 })).toEqual({ xMm: 220, yMm: 20, pxPerMm: 0.25 });
  });

  it('never lets go of what lies on the bench', () => {
    fc.assert(
      fc.property(anyView, (view) => {
        const kept = viewportRect(viewportKeptInSight(view, content, size), size);
        const sharedX = Math.min(kept.x + kept.width, 7270) - Math.max(kept.x, -70);
        const sharedY = Math.min(kept.y + kept.height, 2390) - Math.max(kept.y, -50);
        expect(sharedX).toBeGreaterThan(0);
        expect(sharedY).toBeGreaterThan(0);
      }),
    );
  });

  it('moves no further than is needed to show a place', () => {
    const view = { xMm: 0, yMm: 0, pxPerMm: 0.5 };
    // The window shows 1874 × 822 mm; with 20 px (40 mm) of margin the place ends at 2040.
    const shown = viewportShowing(view, { x: 1900, y: 300, width: 100, height: 50 }, size, 20);
    expect(shown).toEqual({ xMm: 166, yMm: 0, pxPerMm: 0.5 });
    expect(viewportShowing(view, { x: 700, y: 300, width: 100, height: 50 }, size, 20)).toEqual(view);
  });

  it('zooms out for a place that is larger than the window', () => {
    const view = { xMm: 0, yMm: 0, pxPerMm: 4 };
    const place = { x: 500, y: 200, width: 900, height: 300 };
    const seen = viewportRect(viewportShowing(view, place, size, 20), size);
    expect(seen.x).toBeLessThan(500);
    expect(seen.x + seen.width).toBeGreaterThan(1400);
  });
});
