import type { Rect } from '../../measure/rect.ts';
import { PT_PER_INCH } from '../../measure/units.ts';
import type { Matrix } from '../page/page-space.ts';
import { boxOverlap, boxShown, isBoxEmpty } from './bounds.ts';
import type { ContentLevel } from './content-level.ts';
import type { ContentPage } from './content-page.ts';
import type { ImageInfo } from './painted.ts';
import { walkContent } from './walk.ts';

/** One placement of an image, and its resolution there. */
export interface ImagePlacement {
  readonly image: ImageInfo;
  /** The visible part of its bounds. For an image in a pattern or glyph: where the pattern or text shows. */
  readonly drawn: Rect<'drawn'>;
  /** Maps the image's unit square to the page's user space. */
  readonly matrix: Matrix;
  /** Pixels per inch at finished size, across the image's columns and rows. */
  readonly ppiX: number;
  readonly ppiY: number;
  /** Whether layers show it. */
  readonly isVisible: boolean;
  readonly within: ContentLevel['kind'];
}

/** Pixels per inch of an image under a matrix: pixels × 72 ÷ (length of the matrix's column × UserUnit) ÷ enlargement. */
export function effectivePpi(
  image: Pick<ImageInfo, 'width' | 'height'>,
  m: Matrix,
  userUnit: number,
  scale: number,
): { readonly ppiX: number; readonly ppiY: number } {
  return {
    ppiX: (image.width * PT_PER_INCH) / (Math.hypot(m[0], m[1]) * userUnit) / scale,
    ppiY: (image.height * PT_PER_INCH) / (Math.hypot(m[2], m[3]) * userUnit) / scale,
  };
}

/**
 * Every placement of every image on the page that shows at least in part, with its resolution when the drawing
 * is enlarged by `scale` (finished size ÷ drawn size). @throws PdfProblem when the content cannot be read
 */
export async function pageImages(page: ContentPage, scale: number): Promise<ImagePlacement[]> {
  const placements: ImagePlacement[] = [];
  await walkContent(page, {
    entersPatterns: true,
    entersSoftMasks: true,
    entersGlyphs: true,
    onPainted(painted) {
      const { image, state, isVisible, level } = painted;
      const shown = boxOverlap(boxShown(painted), page.box);
      if (image === undefined || isBoxEmpty(shown)) return;
      placements.push({
        image,
        drawn: page.space.rectFromBox(shown),
        matrix: state.ctm,
        ...effectivePpi(image, state.ctm, page.space.userUnit, scale),
        isVisible,
        within: level.kind,
      });
    },
  });
  return placements;
}
