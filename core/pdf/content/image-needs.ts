/** Which images a page shows, and how large. */
import { PDFName, PDFStream } from 'pdf-lib';
import { boxOverlap, boxShown, isBoxEmpty } from './bounds.ts';
import type { ContentPage } from './content-page.ts';
import type { Painted } from './painted.ts';
import { walkContent } from './walk.ts';

/** The pixels that the picture of a page has for an image, along the image's columns and rows. */
export interface ImageNeed {
  readonly acrossPx: number;
  readonly downPx: number;
}

export interface PageImageNeeds {
  /** Image XObjects that show, and their masks. */
  readonly needs: ReadonlyMap<PDFStream, ImageNeed>;
  /** Whether all content could be read, so that no other image can show. */
  readonly isComplete: boolean;
}

/** Masks over an image, by the keys of its dictionary (ISO 32000-1, Table 89). */
export const MASK_KEYS = ['SMask', 'Mask'].map((key) => PDFName.of(key));

/**
 * What a picture of the page that is `longestPx` along its longer edge needs of each image. Layers are ignored: content
 * that they hide counts as shown. @throws PdfProblem when the page's own content cannot be read
 */
export async function pageImageNeeds(page: ContentPage, longestPx: number): Promise<PageImageNeeds> {
  const { box, objects } = page;
  const pxPerUnit = longestPx / Math.max(box.x1 - box.x0, box.y1 - box.y0);
  const needs = new Map<PDFStream, ImageNeed>();
  const recordNeed = (stream: PDFStream, { acrossPx, downPx }: ImageNeed): void => {
    const before = needs.get(stream);
    needs.set(stream, {
      acrossPx: Math.max(acrossPx, before?.acrossPx ?? 0),
      downPx: Math.max(downPx, before?.downPx ?? 0),
    });
  };
  let isComplete = true;
  await walkContent(page, {
    entersPatterns: true,
    entersSoftMasks: true,
    entersGlyphs: true,
    onPainted(painted: Painted) {
      const stream = painted.image?.stream;
      if (stream === undefined || isBoxEmpty(boxOverlap(boxShown(painted), box))) return;
      const [a, b, c, d] = painted.state.ctm;
      recordNeed(stream, {
        acrossPx: Math.hypot(a, b) * pxPerUnit,
        downPx: Math.hypot(c, d) * pxPerUnit,
      });
    },
    onTrouble() {
      isComplete = false;
    },
  });
  for (const [stream, need] of [...needs]) {
    for (const key of MASK_KEYS) {
      const mask = await objects.resolved(stream.dict.get(key));
      if (mask instanceof PDFStream) recordNeed(mask, need);
    }
  }
  return { needs, isComplete };
}
