/** Pictures of seams as they will look once installed, for the sheet that shows them at true size. */
import type { RasterPicture } from '../../core/drawing/drawing.ts';
import { areaPoints } from '../../core/job/area-shape.ts';
import type { Job } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { seamLook } from '../../core/layout/seam-look.ts';
import { finishedFromDrawn } from '../../core/measure/spaces.ts';
import { MM_PER_INCH } from '../../core/measure/units.ts';
import { type SeamStretch, seamPictureWindow, seamShiftOf } from '../../core/sheets/seam-sheet.ts';
import { pauseBetweenTurns, unlessCalledOff } from '../files/called-off.ts';
import { PictureMaker } from '../render/picture-maker.ts';
import type { OpenedArtwork } from './artwork-file.ts';
import { pageArea } from './page-area.ts';
import { withoutAlpha } from './side-pictures.ts';

/** What an office printer shows of a picture. */
const PX_PER_MM = 150 / MM_PER_INCH;

/** By seam id; seams whose artwork cannot be drawn are missing. */
export async function drawSeamPictures(
  job: Job,
  stretches: readonly SeamStretch[],
  artwork: OpenedArtwork,
  signal: AbortSignal,
): Promise<ReadonlyMap<string, RasterPicture>> {
  const pictures = new Map<string, RasterPicture>();
  if (stretches.length === 0) return pictures;
  const { password } = artwork;
  const maker = new PictureMaker(artwork.path, { password, reduces: 'where-needed', isLent: true });
  const pause = pauseBetweenTurns(signal);
  try {
    for (const stretch of stretches) {
      signal.throwIfAborted();
      await pause();
      const picture = await unlessCalledOff(seamPicture(job, stretch, artwork, maker), signal);
      if (picture) pictures.set(stretch.seam.id, picture);
    }
    return pictures;
  } finally {
    await maker.close();
  }
}

async function seamPicture(
  job: Job,
  stretch: SeamStretch,
  artwork: OpenedArtwork,
  maker: PictureMaker,
): Promise<RasterPicture | undefined> {
  const { seam, layout } = stretch;
  const { side } = layout;
  const page = artwork.pages.find(({ number }) => number === side.page);
  if (!page) return undefined;
  const window = seamPictureWindow(job, stretch);
  const drawn = finishedFromDrawn(rectFromStored<'drawn'>(side.artworkRect), job.scale).rectBack(window);
  const area = pageArea(drawn, page.boxes.crop, page.userUnit);
  const outcome = await maker.picture(page.number, area, Math.round(window.width * PX_PER_MM));
  if (!outcome.ok) return undefined;
  const { width: widthPx, height: heightPx, rgba } = outcome.picture;
  const bare = side.noFilmAreas.filter(({ windowFilm }) => !windowFilm).map(areaPoints);
  const picture = { widthPx, heightPx, pixels: withoutAlpha(rgba), channels: 3 } as const;
  const looked = seamLook(seam, picture, window, seamShiftOf(job), bare);
  return { widthPx, heightPx, rgb: new Uint8Array(looked.buffer) };
}
