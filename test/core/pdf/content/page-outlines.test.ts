import { describe, expect, it } from 'vitest';
import { pageOutlines } from '../../../../core/pdf/content/page-outlines.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { pageOf, pdfiumPaths } from './content-support.ts';

const MM = 25.4 / 72;
const PAGE = '/MediaBox [0 0 600 400]';
const LAYERS = {
  catalog: '/OCProperties << /OCGs [20 0 R 21 0 R] /D << /OFF [20 0 R] >> >>',
  resources: '/Properties << /Off 20 0 R /On 21 0 R /Both 22 0 R >> /XObject << /F 23 0 R >>',
  objects: {
    20: '<< /Type /OCG /Name (Vehicle outline) >>',
    21: '<< /Type /OCG /Name (Artwork) >>',
    22: '<< /Type /OCMD /OCGs [20 0 R 21 0 R] >>',
    23: { dict: '/Subtype /Form /BBox [0 0 600 400] /OC 20 0 R', data: '5 5 m 5 305 l S' },
  },
};
const outlines = async (content: string, over: Parameters<typeof rawPdf>[0] = {}) =>
  await pageOutlines(await pageOf(rawPdf({ page: PAGE, content, ...over })));

describe('the paths of a page', () => {
  it('have their corners where PDFium reads them, under every operator of paths and any matrix', async () => {
    const content = `q 0.5 0.2 -0.1 0.9 40 30 cm 100 100 m 200 130 l 220 180 240 210 300 190 c S Q
      50 60 m 90 80 120 40 v 150 20 170 95 y h S  10 20 130 70 re f
      1 0 0 1 0 100 cm 30 40 m 70 40 l h 30 90 l S 400 100 m 410 120 l 420 100 l b`;
    const found = await outlines(content);
    const corners = found.map(({ points }) => points.map(({ x, y }) => [x / MM, 400 - y / MM]));
    const expected = (await pdfiumPaths(rawPdf({ page: PAGE, content }))).flat();
    expect(expected.length).toBeGreaterThan(15);
    for (const [x, y] of expected) {
      const nearest = Math.min(...corners.flat().map(([ax, ay]) => Math.hypot(ax! - x, ay! - y)));
      expect(nearest).toBeLessThan(0.01);
    }
  });

  it('are told by layer, color and line width, also on layers that are off and in forms', async () => {
    const found = await outlines(
      `/OC /Off BDC 0 1 1 0 K 3 w 0 0 m 300 0 l S EMC
       /OC /On BDC 1 0 0 rg 10 10 200 100 re f EMC
       /OC /Both BDC 0 0 m 0 200 l S EMC /F Do
       /OC /Missing BDC BMC 0 300 m 90 300 l S EMC EMC 2 0 0 2 0 0 cm 0 9 m 90 9 l S`,
      LAYERS,
    );
    expect(found.map(({ layers, isVisible }) => [layers, isVisible])).toEqual([
      [['Vehicle outline'], false],
      [['Artwork'], true],
      [['Vehicle outline', 'Artwork'], true],
      [['Vehicle outline'], false],
      [[], true],
      [[], true],
    ]);
    expect(found.map(({ color: { space, values } }) => [space.family, values])).toEqual([
      ['DeviceCMYK', [0, 1, 1, 0]],
      ['DeviceRGB', [1, 0, 0]],
      ...Array(4).fill(['DeviceCMYK', [0, 1, 1, 0]]),
    ]);
    expect(found.map(({ widthMm }) => Math.round(widthMm / MM))).toEqual([3, 0, 3, 3, 3, 6]);
    expect(found.map(({ isClosed }) => isClosed)).toEqual([false, true, false, false, false, false]);
  });

  it('neither clips, patterns, letters nor specks are among them; a path that ends where it began is closed', async () => {
    const found = await outlines(`100 100 m 300 100 l 200 300 l W n
      100 100 m 300 100 l 200 300 l 100 100 l S  5 5 m 5.3 5.3 l S  q 0 0 0 0 re W n 0 0 m 200 9 l S Q`);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ isClosed: true });
    expect(found[0]!.points).toHaveLength(3);
  });
});
