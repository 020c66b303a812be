/** The inks of a side as a raster: the artwork with its colors turned into inks, drawn by PDFium. */
import { join } from 'node:path';
import { writePlates } from '../../core/ink/plate-document.ts';
import type { InkImages } from '../../core/ink/plate-image.ts';
import { PLATE_PASSES, type PlatePass } from '../../core/ink/plate-spaces.ts';
import { contentPageFrom } from '../../core/pdf/content/content-page.ts';
import { type PageImageNeeds, pageImageNeeds } from '../../core/pdf/content/image-needs.ts';
import type { Artwork } from '../../core/pdf/document/artwork.ts';
import type { InkRaster } from '../../core/production/coverage.ts';
import { StagedFile } from '../files/staged-file.ts';
import type { LightPicture, PageArea, SummedColors } from '../render/pdfium.ts';
import type { PictureFailure, PictureOutcome } from '../render/picture-maker.ts';
import { quickFlate } from '../render/reduced-copies.ts';
import type { PlatePictures } from './plate-pictures.ts';

export interface SideToDraw {
  readonly page: number;
  readonly window: PageArea;
  readonly widthPx: number;
  /** Pixels along the longer edge of the page at the same scale. */
  readonly longestPx: number;
  /** Pixels per inch at finished size. */
  readonly ppi: number;
}

export interface DrawingTools {
  readonly folder: string;
  readonly signal: AbortSignal;
  /** Pictures that sides share. */
  readonly images: InkImages;
  readonly pictures: PlatePictures;
  pause(): Promise<void>;
}

export type InksOutcome =
  | { readonly ok: true; readonly raster: InkRaster }
  | { readonly ok: false; readonly failure: PictureFailure };

/** Throws errors of files, damaged artwork and the signal. */
export async function sideInks(
  artwork: Artwork,
  side: SideToDraw,
  tools: DrawingTools,
): Promise<InksOutcome> {
  const drawn = await drawPasses(artwork, side, tools);
  const failed = drawn.find((outcome) => !outcome.ok);
  if (failed) return failed;
  const [three, black] = drawn.flatMap((outcome) => (outcome.ok ? [outcome.picture] : [])) as [
    LightPicture,
    LightPicture,
  ];
  const { width, height, light } = three;
  return { ok: true, raster: { width, height, ppi: side.ppi, totals: inkTotals(light, black.light) } };
}

/** Both passes show how much white is left; the totals replace the first one's. */
function inkTotals(three: Uint16Array, black: Uint16Array): Uint16Array {
  for (let at = 0; at < three.length; at += 1) three[at] = 4 * 255 - three[at]! - black[at]!;
  return three;
}

/** The plates of a pass are the colors of its picture; gray has the same in all. */
const COLORS: Readonly<Record<PlatePass, SummedColors>> = { 'cyan-magenta-yellow': 3, black: 1 };

/** While one pass is drawn the next is written. */
async function drawPasses(
  artwork: Artwork,
  { page, window, widthPx, longestPx }: SideToDraw,
  { folder, signal, images, pictures, pause }: DrawingTools,
): Promise<PictureOutcome<LightPicture>[]> {
  const drawn: Promise<PictureOutcome<LightPicture>>[] = [];
  const { file: source, pages } = artwork;
  let needs: Promise<PageImageNeeds> | undefined;
  const imageNeeds = async (): Promise<PageImageNeeds> => {
    needs ??= contentPageFrom(source, pages[page - 1]!.page).then((found) =>
      pageImageNeeds(found, longestPx),
    );
    return await needs;
  };
  try {
    for (const pass of PLATE_PASSES) {
      const path = join(folder, `${pass}-${page}.pdf`);
      const file = await StagedFile.begin(path);
      try {
        await pictures.inTurn(() =>
          writePlates(artwork, page, pass, file, { flate: quickFlate, images, imageNeeds, pause }),
        );
      } finally {
        await file.close();
      }
      const before = drawn.at(-1);
      const draw = async (): Promise<PictureOutcome<LightPicture>> => {
        const outcome = await before;
        // A rendering that was too slow once will be again.
        if (outcome?.ok === false) return outcome;
        return await pictures.drawFirstPage(path, window, widthPx, COLORS[pass], signal);
      };
      const picture = draw();
      // Errors are handled below, when all are written.
      picture.catch(() => undefined);
      drawn.push(picture);
    }
    return await Promise.all(drawn);
  } finally {
    await Promise.allSettled(drawn);
  }
}
