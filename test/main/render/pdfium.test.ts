import { expect, it } from 'vitest';
import { PdfiumDocument } from '../../../main/render/pdfium.ts';
import { rawPdf } from '../../support/raw-pdf.ts';

/** Pixels from the left and the top of a picture to where it turns black. */
function edges({ width, height, rgba }: { width: number; height: number; rgba: Uint8Array }) {
  const white = (x: number, y: number) => rgba[4 * (y * width + x)]! / 255;
  let [across, down] = [0, 0];
  for (let x = 0; x < width; x++) across += white(x, height - 1);
  for (let y = 0; y < height; y++) down += white(width - 1, y);
  return { across, down };
}

it.each([
  [1000, 500, 0],
  [1000.4, 500.97, 0],
  [1000.95, 500.4, 90],
  [97.9, 33.6, 180],
  [2227.95, 838.97, 270],
])('a window of a page of %d × %d pt, turned by %d, shows what lies there', async (width, height, turn) => {
  // Black from nine tenths of the page on, right and down as it is shown.
  const [shownWidth, shownHeight] = turn % 180 === 0 ? [width, height] : [height, width];
  const black: Readonly<Record<number, string>> = {
    0: `${0.9 * width} 0 ${width} ${0.1 * height} re f`,
    90: `${0.9 * width} ${0.9 * height} ${width} ${height} re f`,
    180: `${-0.9 * width} ${0.9 * height} ${width} ${height} re f`,
    270: `${-0.9 * width} ${-0.9 * height} ${width} ${height} re f`,
  };
  const page = `/MediaBox [-61.25 40.5 ${width - 61.25} ${height + 40.5}] /Rotate ${turn}`;
  const content = `0 g 1 0 0 1 -61.25 40.5 cm ${black[turn]!}`;
  const document = (await PdfiumDocument.open([rawPdf({ page, content })]))!;
  const window = { xPt: 0.9 * shownWidth - 5, yPt: 0.9 * shownHeight - 5, widthPt: 8, heightPt: 8 };
  const { across, down } = edges(document.picture(1, window, 80)!);
  document.close();
  expect(across).toBeCloseTo(50, 0);
  expect(down).toBeCloseTo(50, 0);
});
