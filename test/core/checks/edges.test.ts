import { describe, expect, it } from 'vitest';
import { edgeSamples, type Paint, paintedShare } from '../../../core/checks/painted-edge.ts';
import { checksOf, codesOf, findingOf, pageInMm, pageScanOf } from './check-support.ts';

// The side is 50…350 × 30…150 mm of the page; its bleed, drawn: top 4, right 6, bottom 7, left 5 mm.
const fill = (x: number, y: number, width: number, height: number, color = '0.3 0.1 0.5 0 k') =>
  `${color} ${x} ${y} ${width} ${height} re f\n`;
const FULL = fill(40, 20, 320, 150);

describe('paint at the edges', () => {
  it('AC15 paint that ends before its bleed warns by edge and amount', async () => {
    // Ends at 353 of 356 and at 155 of 157: 30 mm short at the right, 20 mm at the bottom.
    const pdf = pageInMm(fill(40, 20, 313, 135));
    const { severity, message, figure, where } = await findingOf(pdf, 'bleed-short');
    expect(severity).toBe('warn');
    expect(message).toContain('at least 30 mm short at the right and 20 mm short at the bottom');
    expect(figure).toBeCloseTo(30, 6);
    // The bleed of the edge is shown, for the picture.
    expect(where).toMatchObject({ sideId: 's1', area: { x: 3000, y: 0, width: 60, height: 1200 } });
    expect((await checksOf(pdf)).map(({ code }) => code)).not.toContain('edge-bare');
  });

  it('AC15 paint that covers the bleed is in order, in one piece or in many, turned page or not', async () => {
    const strips = Array.from({ length: 16 }, (_, i) =>
      fill(40 + 20 * i, 20, 20, 150, `0.${i + 10} 0.2 0.1 0 k`),
    );
    for (const pdf of [pageInMm(FULL), pageInMm(strips.join(''))]) {
      const codes = await codesOf(pdf);
      for (const code of ['bleed-short', 'edge-bare', 'side-not-filled']) expect(codes).not.toContain(code);
    }
  });

  it('AC15 a part of an edge is told with its share, and bleed of nothing asks for nothing', async () => {
    // The lower half of the left edge ends at the edge itself.
    const pdf = pageInMm(fill(40, 20, 320, 70) + fill(50, 90, 310, 80));
    expect((await findingOf(pdf, 'bleed-short')).message).toContain(
      '50 mm short along about 50 % of the left',
    );
    const none = { side: { bleed: { top: 0, right: 0, bottom: 0, left: 0 } } };
    expect(await codesOf(pageInMm(fill(50, 30, 300, 120)), none)).not.toContain('bleed-short');
  });

  it('AC15 bleed beyond the page is left to the findings of the layout', async () => {
    const at = { side: { artworkRect: { xMm: 0, yMm: 30, widthMm: 300, heightMm: 120 } } };
    expect(await codesOf(pageInMm(fill(0, 20, 320, 150)), at)).not.toContain('bleed-short');
  });

  it('AC15 an edge that is white or unpainted inside is noted as bare', async () => {
    const narrow = pageInMm(fill(40, 20, 300, 150));
    const painted = pageInMm(`${FULL}0 0 0 0 k 340 20 30 150 re f`);
    for (const pdf of [narrow, painted]) {
      const { severity, message, where } = await findingOf(pdf, 'edge-bare');
      expect(where.area!.x).toBeCloseTo(2900, 6);
      expect(where.area).toMatchObject({ y: 0, height: 1200 });
      expect(where.area!.width).toBeCloseTo(100, 6);
      expect([severity, message.includes('nothing to bleed: at the right')]).toEqual(['note', true]);
      expect(await codesOf(pdf)).not.toContain('bleed-short');
    }
  });

  it('AC15 a side that is mostly bare is noted with an estimate of the share', async () => {
    const { message } = await findingOf(pageInMm(fill(50, 30, 90, 120)), 'side-not-filled');
    expect(message).toContain('About 70 % of side LH is white or unpainted');
    expect(await codesOf(pageInMm(fill(40, 20, 300, 150)))).not.toContain('side-not-filled');
    const top = await findingOf(pageInMm(fill(40, 55, 320, 115)), 'edge-bare');
    expect(top.where.area).toMatchObject({ x: 0, y: 0, width: 3000 });
    expect(top.where.area!.height).toBeCloseTo(250, 6);
  });

  it('AC15 frames, crop marks and white lettering do not pass for paint or for bare film', async () => {
    const marks = pageInMm('0 0 0 1 K 0.3 w 0 0 400 200 re S 10 10 m 390 10 l 390 190 l S');
    expect((await findingOf(marks, 'side-not-filled')).message).toContain('About 100 %');
    const lettered = pageInMm(
      `${FULL}1 g q 60 40 m 340 40 l 340 140 l h W n 0 0 400 200 re f Q 60 40 m 340 40 l 200 140 l f`,
    );
    expect(await codesOf(lettered)).not.toContain('side-not-filled');
  });

  it('AC15 parts in the paint are few where a ground covers them, and too many are not judged', async () => {
    const leaves = Array.from({ length: 4000 }, (_, i) => fill(60 + (i % 270), 40 + (i % 97), 2, 2));
    expect((await pageScanOf(pageInMm(FULL + leaves.join('')))).paint).toMatchObject({
      isComplete: true,
      areas: [{}],
    });
    const scattered = Array.from({ length: 4000 }, (_, i) =>
      fill((i * 7.3) % 398, (i * 3.7) % 198, 0.01, 0.01),
    );
    const scan = await pageScanOf(pageInMm(scattered.join('')));
    expect(scan.paint.isComplete).toBe(false);
    expect(await codesOf(pageInMm(scattered.join('')))).not.toContain('side-not-filled');
  });
});

describe('looking along an edge', () => {
  const outline = { x: 0, y: 0, width: 1000, height: 400 };
  const paint = (x: number, y: number, width: number, height: number, isWhite = false): Paint => ({
    area: { x, y, width, height },
    isWhite,
  });

  it('AC15 paint reaches as far as it runs on without a gap, and white takes it away', () => {
    const ground = paint(-30, -20, 1070, 433);
    const reach = (edge: 'top' | 'right' | 'bottom' | 'left', paints: Paint[]) =>
      edgeSamples(outline, edge, paints).map(({ reachMm }) => reachMm);
    expect(new Set(reach('left', [ground]))).toEqual(new Set([30]));
    expect(new Set(reach('right', [ground]))).toEqual(new Set([40]));
    expect(new Set(reach('top', [ground]))).toEqual(new Set([20]));
    expect(new Set(reach('bottom', [ground]))).toEqual(new Set([13]));
    expect(new Set(reach('bottom', [ground, paint(-50, 413, 1100, 9)]))).toEqual(new Set([22]));
    expect(new Set(reach('bottom', [ground, paint(-50, 415, 1100, 9)]))).toEqual(new Set([13]));
    expect(new Set(reach('bottom', [ground, paint(-50, 405, 1100, 90, true)]))).toEqual(new Set([5]));
    // White first, then paint over it: the paint counts.
    expect(new Set(reach('bottom', [paint(-50, 405, 1100, 90, true), ground]))).toEqual(new Set([13]));
    const bare = edgeSamples(outline, 'left', [paint(120, -50, 2000, 900)]);
    expect(new Set(bare.map(({ isPainted, bareMm }) => `${isPainted} ${bareMm}`))).toEqual(
      new Set(['false 120']),
    );
    expect(edgeSamples(outline, 'top', [])[0]).toEqual({ isPainted: false, reachMm: 0, bareMm: 400 });
  });

  it('AC15 the painted share of a side is right to a few percent', () => {
    expect(paintedShare(outline, [paint(-9, -9, 2000, 2000)])).toBe(1);
    expect(paintedShare(outline, [])).toBe(0);
    expect(paintedShare(outline, [paint(0, 0, 370, 400)])).toBeCloseTo(0.37, 1);
    expect(paintedShare(outline, [paint(0, 0, 1000, 400), paint(0, 0, 1000, 100, true)])).toBeCloseTo(
      0.75,
      2,
    );
  });
});
