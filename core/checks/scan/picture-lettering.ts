import type { Rect } from '../../measure/rect.ts';
import { letteringBoxes } from '../../seams/lettering-boxes.ts';
import { rasterGray, type SideRaster } from '../../seams/raster.ts';
import { wordStrokes } from '../../seams/upright-strokes.ts';
import type { PageScan, ScanRect } from './schema.ts';

/** More pixels find smaller lettering but take longer; these take about a second and give 4.5 mm per pixel on 16 m. */
const MOST_PX = 2_000_000;
const MOST_LONG_PX = 3600;

/** Width of a page picture that is needed to find lettering in it. */
export function letteringPictureWidth({ width, height }: Rect<'drawn'>): number {
  const pxPerMm = Math.min(MOST_LONG_PX / Math.max(width, height), Math.sqrt(MOST_PX / (width * height)));
  return Math.max(1, Math.round(width * pxPerMm));
}

/**
 * Shapes with at least this confidence are lettering nine times in ten (measured on the pages in
 * test/main/artwork/lettering-corpus.test.ts). A seam through less likely shapes gets a note, not a warning.
 */
const SURE_CONFIDENCE = 0.75;

/**
 * Adds lettering found in a picture of the page to its scan: outlines and pixels, which the file does not distinguish
 * from other shapes, and the vertical strokes of live text. `extent` is what the picture shows, in drawn mm.
 */
export function pageScanWithPicture(page: PageScan, picture: SideRaster, extent: Rect<'drawn'>): PageScan {
  const mm = extent.width / picture.width;
  const drawn = ({ x, y, width, height }: Rect): ScanRect => ({
    x: extent.x + x,
    y: extent.y + y,
    width,
    height,
  });
  const inPixels = ({ x, y, width, height }: ScanRect): Rect => ({
    x: (x - extent.x) / mm,
    y: (y - extent.y) / mm,
    width: width / mm,
    height: height / mm,
  });
  const plane = { plane: rasterGray(picture), width: picture.width, height: picture.height };
  const words = page.lettering.flatMap((line) => line.words).map(inPixels);
  return {
    ...page,
    lettering: page.lettering.map((line) => ({
      ...line,
      strokes: wordStrokes(plane, line.words.map(inPixels)).map(
        ({ x, y, width, height }): ScanRect => ({
          x: extent.x + x * mm,
          y: extent.y + y * mm,
          width: width * mm,
          height: height * mm,
        }),
      ),
    })),
    shapes: letteringBoxes(picture, undefined, words).map(
      ({ rect, words, strokes, capHeightMm, confidence }) => ({
        area: drawn(rect),
        words: words.map(drawn),
        strokes: strokes.map(drawn),
        capHeightMm,
        isSure: confidence >= SURE_CONFIDENCE,
      }),
    ),
  };
}
