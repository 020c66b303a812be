/**
 * The page of a panel guide: a side with its bleed as drawn, and paper around it for text.
 *
 *     guidePage({ width: 6000, height: 2100 }, bleed of 50, 10)   → the side is 600 × 210 mm and begins at (17, 21)
 */

import { MAX_PAGE_MM } from '../measure/page-limits.ts';
import type { EdgeLengths, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { largestScale } from '../sheets/sheet-scale.ts';

export interface GuidePage {
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  /** The side, and the side with its bleed. */
  readonly trim: Rect<'drawn'>;
  readonly bleed: Rect<'drawn'>;
  /** Size of letters, lines and margins, which grows with large pages. */
  readonly unitMm: Mm;
}

const MARGIN = { top: 16, side: 12, bottom: 76 };
/** A page of this size (the root of its area) has lettering of normal size. */
const PLAIN_MM: Mm = 500;

/** `size` and `bleed` are finished lengths. */
export function guidePage(
  size: Pick<Rect, 'width' | 'height'>,
  bleed: EdgeLengths,
  scale: number,
): GuidePage {
  const width = (size.width + bleed.left + bleed.right) / scale;
  const height = (size.height + bleed.top + bleed.bottom) / scale;
  const unitMm = Math.max(1, Math.sqrt(width * height) / PLAIN_MM);
  const [x, y] = [MARGIN.side * unitMm, MARGIN.top * unitMm];
  return {
    widthMm: width + 2 * x,
    heightMm: height + y + MARGIN.bottom * unitMm,
    bleed: { x, y, width, height },
    trim: {
      x: x + bleed.left / scale,
      y: y + bleed.top / scale,
      width: size.width / scale,
      height: size.height / scale,
    },
    unitMm,
  };
}

interface GuidedSide {
  readonly outline: Pick<Rect, 'width' | 'height'>;
  readonly bleed: EdgeLengths;
}

export const isGuideOnPage = ({ outline, bleed }: GuidedSide, scale: number): boolean => {
  const { widthMm, heightMm } = guidePage(outline, bleed, scale);
  return Math.max(widthMm, heightMm) <= MAX_PAGE_MM;
};

/** The largest scale of ISO 5455 at which every side fits a page. Keeps GD3. */
export const guideScale = (sides: readonly GuidedSide[]): number =>
  largestScale((scale) => sides.every((side) => isGuideOnPage(side, scale)));
