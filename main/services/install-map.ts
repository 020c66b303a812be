/** The install map of a job as a file: pictures of the sides first, then the sheets. */
import { jobToJson } from '../../core/job/job-json.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { RasterPicture } from '../../core/sheets/drawing/drawing.ts';
import type { FontLibrary } from '../../core/sheets/drawing/font-library.ts';
import { INSTALL_MAP, installMap } from '../../core/sheets/install-map.ts';
import type { Sheet } from '../../core/sheets/page-frame.ts';
import { sheetsPdf } from '../../core/sheets/sheets-pdf.ts';
import { sha256Hex } from '../files/sha256.ts';
import { PROGRAM_VERSION } from '../program.ts';
import { PictureMaker } from '../render/picture-maker.ts';
import type { OpenedArtwork } from './artwork-file.ts';
import type { JobState } from './job-state.ts';
import { pageWindow } from './page-window.ts';

const PICTURE_PX = 1600;

export interface InstallMapFile {
  readonly bytes: Uint8Array;
  readonly pageCount: number;
  /** Codes of sides that are drawn as lines only, because their picture could not be made. */
  readonly sidesWithoutPicture: readonly string[];
}

export async function installMapFile(
  state: JobState,
  artwork: OpenedArtwork,
  fonts: FontLibrary,
  signal: AbortSignal,
): Promise<InstallMapFile> {
  const pictures = await sidePictures(state.job, artwork, signal);
  const sheets = installMapSheets(state, pictures, fonts);
  const bytes = await sheetsPdf(
    state.job,
    sheets,
    { documentType: INSTALL_MAP, sha256: sheetDigest(state.job) },
    fonts,
  );
  const missing = state.job.sides.filter((side) => !pictures.has(side.id));
  return { bytes, pageCount: sheets.length, sidesWithoutPicture: missing.map(({ code }) => code) };
}

export function installMapSheets(
  state: JobState,
  pictures: ReadonlyMap<string, RasterPicture>,
  fonts: FontLibrary,
): readonly Sheet[] {
  return installMap(state.job, state.layouts, { fonts, artworkPicture: (side) => pictures.get(side.id) });
}

/** Everything that decides what a sheet shows: the job names its artwork by hash. */
const sheetDigest = (job: Job): string =>
  sha256Hex(new TextEncoder().encode(`${PROGRAM_VERSION}\n${jobToJson(job)}`));

/** A picture of each side that can be drawn in time, by the side's id. */
export async function sidePictures(
  job: Job,
  artwork: OpenedArtwork,
  signal: AbortSignal,
): Promise<ReadonlyMap<string, RasterPicture>> {
  const maker = new PictureMaker(artwork.path, artwork.password);
  const pictures = new Map<string, RasterPicture>();
  try {
    for (const side of job.sides) {
      signal.throwIfAborted();
      const picture = await sidePicture(maker, side, artwork);
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
  const page = artwork.pages.find(({ number }) => number === side.page);
  if (!page) return undefined;
  const window = pageWindow(rectFromStored(side.artworkRect), page.boxes.crop, page.userUnit);
  const outcome = await maker.picture(side.page, window, PICTURE_PX);
  if (!outcome.ok) return undefined;
  const { width, height, rgba } = outcome.picture;
  return { widthPx: width, heightPx: height, rgb: rgba.filter((_, index) => index % 4 !== 3) };
}
