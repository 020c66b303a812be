/** The inks of a side as a raster: the artwork with its colors turned into inks, drawn by PDFium. */
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { writePlates } from '../../core/ink/plate-document.ts';
import type { InkImages } from '../../core/ink/plate-image.ts';
import { PLATE_PASSES, type PlatePass } from '../../core/ink/plate-spaces.ts';
import type { Artwork } from '../../core/pdf/document/artwork.ts';
import type { InkRaster } from '../../core/production/coverage.ts';
import { flateCodec } from '../cut/flate.ts';
import { StagedFile } from '../files/staged-file.ts';
import type { PageArea } from '../render/pdfium.ts';
import type { PictureFailure } from '../render/picture-maker.ts';
import type { PlatePictures } from './plate-pictures.ts';

export interface SideToDraw {
  readonly page: number;
  readonly window: PageArea;
  readonly widthPx: number;
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

/** Throws what files, a damaged artwork and the signal throw. */
export async function sideInks(
  artwork: Artwork,
  side: SideToDraw,
  tools: DrawingTools,
): Promise<InksOutcome> {
  const pictures: { readonly width: number; readonly height: number; readonly rgba: Uint8Array }[] = [];
  for (const pass of PLATE_PASSES) {
    const drawn = await drawPass(artwork, side, pass, tools);
    if (!drawn.ok) return drawn;
    pictures.push(drawn.picture);
  }
  const [three, black] = pictures as [(typeof pictures)[0], (typeof pictures)[0]];
  const { width, height } = three;
  const plane = (name: string, { rgba }: { readonly rgba: Uint8Array }, channel: number) => {
    const samples = new Uint8Array(width * height);
    for (let at = 0, from = channel; at < samples.length; at += 1, from += 4) samples[at] = 255 - rgba[from]!;
    return { name, samples };
  };
  const planes = [
    plane('cyan', three, 0),
    plane('magenta', three, 1),
    plane('yellow', three, 2),
    plane('black', black, 0),
  ];
  return { ok: true, raster: { width, height, ppi: side.ppi, planes } };
}

async function drawPass(
  artwork: Artwork,
  { page, window, widthPx }: SideToDraw,
  pass: PlatePass,
  { folder, signal, images, pictures, pause }: DrawingTools,
) {
  const path = join(folder, `${pass}-${page}.pdf`);
  const file = await StagedFile.begin(path);
  try {
    await writePlates(artwork, page, pass, file, { flate: flateCodec(), images, pause });
  } finally {
    await file.close();
  }
  try {
    return await pictures.drawFirstPage(path, window, widthPx, signal);
  } finally {
    await rm(path, { force: true });
  }
}
