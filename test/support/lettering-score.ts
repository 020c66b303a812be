import { type Rect, rectIntersection } from '../../core/measure/rect.ts';
import { letteringBoxes } from '../../core/seams/lettering-boxes.ts';
import { letteredArt } from './lettered-art.ts';
import { LETTERING_WAYS, type LetteringWay, letteredPage } from './lettered-page.ts';

export { LETTERING_WAYS };

const areaOf = (r: Rect | undefined) => (r ? r.width * r.height : 0);

/**
 * How well lettering is found on pictures of a kind. A line of lettering is found when boxes cover seven tenths of it;
 * a box is right when half of it is lettering.
 */
export async function letteringScore(
  ground: 'flat' | 'graded' | 'photo',
  grain: number,
  pictures: number,
  /** How the lettering stands in a page that is drawn by PDFium; left out, the picture is painted as it is. */
  way?: LetteringWay,
) {
  const counts = { lines: 0, found: 0, boxes: 0, right: 0 };
  for (let seed = 1; seed <= pictures; seed++) {
    const { raster, truth } = way ? await letteredPage(seed, ground, way) : letteredArt(seed, ground, grain);
    const boxes = letteringBoxes(raster).map(({ rect }) => rect);
    counts.lines += truth.length;
    counts.boxes += boxes.length;
    for (const line of truth) {
      const covered = boxes.reduce((sum, box) => sum + areaOf(rectIntersection(box, line)), 0);
      if (covered > 0.7 * areaOf(line)) counts.found++;
    }
    for (const box of boxes) {
      const lettered = truth.reduce((sum, line) => sum + areaOf(rectIntersection(box, line)), 0);
      if (lettered > 0.5 * areaOf(box)) counts.right++;
    }
  }
  return { ...counts, recall: counts.found / counts.lines, precision: counts.right / counts.boxes };
}
