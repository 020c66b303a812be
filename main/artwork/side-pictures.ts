/** Pictures of the sides, for the sheets that show them. */

import type { RasterPicture } from '../../core/drawing/drawing.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { unlessCalledOff } from '../files/called-off.ts';
import type { PageArea } from '../render/pdfium.ts';
import { PictureMaker } from '../render/picture-maker.ts';
import type { OpenedArtwork } from './artwork-file.ts';
import { pageArea } from './page-area.ts';

const PICTURE_PX = 1600;

/** A picture of each side that can be drawn in time, by the side's id. */
export async function drawSidePictures(
  job: Job,
  artwork: OpenedArtwork,
  signal: AbortSignal,
): Promise<ReadonlyMap<string, RasterPicture>> {
  const maker = new PictureMaker(artwork.path, {
    password: artwork.password,
    reduces: 'where-shared',
    isLent: true,
  });
  const pictures = new Map<string, RasterPicture>();
  try {
    for (const side of job.sides) {
      signal.throwIfAborted();
      const picture = await unlessCalledOff(sidePicture(maker, side, artwork), signal);
      if (picture) pictures.set(side.id, picture);
    }
    return pictures;
  } finally {
    await maker.close();
  }
}

async function sidePicture(
  maker: PictureMaker,
  side: Side,
  artwork: OpenedArtwork,
): Promise<RasterPicture | undefined> {
  const window = sideArea(side, artwork);
  if (!window || side.page === undefined) return undefined;
  const outcome = await maker.picture(side.page, window, PICTURE_PX);
  if (!outcome.ok) return undefined;
  const { width, height, rgba } = outcome.picture;
  return { widthPx: width, heightPx: height, rgb: withoutAlpha(rgba) };
}

export function withoutAlpha(rgba: Uint8Array): Uint8Array {
  const rgb = new Uint8Array((rgba.length / 4) * 3);
  for (let from = 0, to = 0; from < rgba.length; from += 4, to += 3) {
    rgb[to] = rgba[from]!;
    rgb[to + 1] = rgba[from + 1]!;
    rgb[to + 2] = rgba[from + 2]!;
  }
  return rgb;
}

/** The side on its page as the preview sees it; undefined where the page cannot be used. */
export function sideArea(side: Side, artwork: OpenedArtwork): PageArea | undefined {
  const page = artwork.pages.find(({ number }) => number === side.page);
  return page && pageArea(rectFromStored(side.artworkRect), page.boxes.crop, page.userUnit);
}
