/** Artwork as a file on disk: hashed, opened, its pages listed. It is never held in memory. */
import { basename } from 'node:path';
import type { ArtworkScan, PageScan } from '../../core/checks/scan/schema.ts';
import type { ArtworkReference } from '../../core/job/schema.ts';
import type { PageExtents } from '../../core/layout/side-layout.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { MM_PER_INCH } from '../../core/measure/units.ts';
import {
  type Artwork,
  type ArtworkPage,
  artworkFromSource,
  artworkPages,
} from '../../core/pdf/document/artwork.ts';
import type { SideRaster } from '../../core/seams/raster.ts';
import { pauseBetweenTurns, unlessCalledOff } from '../files/called-off.ts';
import { tryFiles } from '../files/file-problem.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import { type HashingTools, hashFile } from '../files/sha256.ts';
import { PictureMaker } from '../render/picture-maker.ts';
import { pageArea } from './page-area.ts';
import type { ScanStore } from './scan-store.ts';

export interface OpenedArtwork {
  readonly path: string;
  /** In memory only, never written down. */
  readonly password?: string;
  readonly reference: ArtworkReference;
  readonly artwork: Artwork;
  /** Usable pages; one that cannot be used is in `pageProblems` under its number. */
  readonly pages: readonly ArtworkPage[];
  readonly pageProblems: ReadonlyMap<number, Problem>;
  /** Contents of its pages, where they were scanned. */
  readonly scan?: ArtworkScan;
}

export interface OpenOptions {
  readonly box: PageBox;
  readonly password?: string;
  readonly fileName?: string;
}

/** `store` has what was found of the same file in earlier sessions; reading all of its content is slow. */
export function openArtwork(
  path: string,
  options: OpenOptions,
  tools: HashingTools = {},
  store?: ScanStore,
): Promise<Result<OpenedArtwork>> {
  return tryFiles(path, () => openFile(path, options, tools, store));
}

/** The first page that can be used, without the hash, which takes a second for a large file. */
export function readFirstPage(
  path: string,
  { box, password }: { readonly box: PageBox; readonly password?: string },
): Promise<Result<ArtworkPage | undefined>> {
  return tryFiles(path, async () => {
    const artwork = await artworkFromSource(await openPdfSource(path), { codecs: pdfCodecs, password });
    if (!artwork.ok) return artwork;
    return resultOk(artworkPages(artwork.value, box).find((page) => page.ok)?.value);
  });
}

async function openFile(
  path: string,
  options: OpenOptions,
  tools: HashingTools,
  store: ScanStore | undefined,
): Promise<Result<OpenedArtwork>> {
  const source = await openPdfSource(path);
  const fileName = options.fileName ?? basename(path);
  const reference: ArtworkReference = { fileName, ...(await hashFile(path, tools)), box: options.box };
  const known = await store?.contents(reference);
  const artwork = await artworkFromSource(source, { codecs: pdfCodecs, password: options.password, known });
  if (!artwork.ok) {
    return resultProblem({ ...artwork.problem, message: `${fileName}: ${artwork.problem.message}` });
  }
  const pages: ArtworkPage[] = [];
  const pageProblems = new Map<number, Problem>();
  for (const [index, page] of artworkPages(artwork.value, options.box).entries()) {
    if (page.ok) pages.push(page.value);
    else pageProblems.set(index + 1, page.problem);
  }
  // Nothing is stored for a damaged file, because reading its content may reveal more damage.
  if (!known && !artwork.value.file.isRepaired) {
    const facts = artwork.value.pages.map((page) => (page.facts.ok ? page.facts.value : undefined));
    await store?.keepContents(reference, facts);
  }
  return resultOk({
    path,
    ...(options.password !== undefined && { password: options.password }),
    reference,
    artwork: artwork.value,
    pages,
    pageProblems,
  });
}

/** The artwork with its pages scanned, which takes a second or a few for a large file. */
export async function scanArtwork(
  opened: OpenedArtwork,
  report?: (done: number, total: number) => void | Promise<void>,
  signal?: AbortSignal,
): Promise<OpenedArtwork & { readonly scan: ArtworkScan }> {
  if (opened.scan) return { ...opened, scan: opened.scan };
  const maker = new PictureMaker(opened.path, {
    password: opened.password,
    reduces: 'where-shared',
    isLent: true,
  });
  const pictures = new LetteringPictures(opened, maker);
  try {
    const { artworkScan } = await import('../../core/checks/scan/artwork-scan.ts');
    const pause = signal && pauseBetweenTurns(signal);
    const scan = await artworkScan(opened.artwork, opened.reference.box, report, pause);
    const pages = await lookAtPictures(opened, scan.pages, (page) =>
      unlessCalledOff(pictures.next(page), signal),
    );
    return { ...opened, scan: { ...scan, pages } };
  } finally {
    await maker.close();
  }
}

/** Lettering that is outlines or pixels shows in a picture alone. A page that cannot be drawn goes without. */
async function lookAtPictures(
  opened: OpenedArtwork,
  scanned: readonly PageScan[],
  pictureOf: (page: ArtworkPage) => Promise<SideRaster | undefined>,
): Promise<PageScan[]> {
  const { pageScanWithPicture } = await import('../../core/checks/scan/picture-lettering.ts');
  const pages: PageScan[] = [];
  for (const scan of scanned) {
    const page = opened.pages.find(({ number }) => number === scan.number);
    const picture = page && (await pictureOf(page));
    pages.push(picture && page ? pageScanWithPicture(scan, picture, page.visible) : scan);
  }
  return pages;
}

/** The memory of a shop's computer holds the drawing of a larger file, and no other work beside it. */
const MAX_BYTES_BESIDE = 100e6;

/** Whether the artwork is small enough for one part of it to be drawn while another is worked on. */
export const isDrawnBeside = ({ reference }: OpenedArtwork): boolean =>
  reference.sizeBytes <= MAX_BYTES_BESIDE;

/** Pages that are drawn before they are looked at. */
const MAX_AHEAD = 3;

/** Pictures of the pages, drawn one after the other while others are looked at. */
class LetteringPictures {
  readonly #maker: PictureMaker;
  readonly #waiting: ArtworkPage[];
  readonly #drawn = new Map<ArtworkPage, Promise<SideRaster | undefined>>();

  constructor(opened: OpenedArtwork, maker: PictureMaker) {
    this.#maker = maker;
    this.#waiting = isDrawnBeside(opened) ? [...opened.pages] : [];
    this.#drawAhead();
  }

  async next(page: ArtworkPage): Promise<SideRaster | undefined> {
    const picture = await (this.#drawn.get(page) ?? letteringPicture(this.#maker, page));
    this.#drawn.delete(page);
    this.#drawAhead();
    return picture;
  }

  #drawAhead(): void {
    for (const page of this.#waiting.splice(0, MAX_AHEAD - this.#drawn.size)) {
      const drawn = letteringPicture(this.#maker, page);
      // A page that is never asked for needs no answer.
      drawn.catch(() => undefined);
      this.#drawn.set(page, drawn);
    }
  }
}

async function letteringPicture(maker: PictureMaker, page: ArtworkPage): Promise<SideRaster | undefined> {
  const { letteringPictureWidth } = await import('../../core/checks/scan/picture-lettering.ts');
  const { visible, boxes, userUnit, number } = page;
  const widthPx = letteringPictureWidth(visible);
  const outcome = await maker.picture(number, pageArea(visible, boxes.crop, userUnit), widthPx);
  if (!outcome.ok) return undefined;
  const { width, height, rgba } = outcome.picture;
  return { width, height, channels: 4, data: rgba, ppi: (width * MM_PER_INCH) / visible.width };
}

export const pageExtents = (pages: readonly ArtworkPage[]): PageExtents =>
  new Map(pages.map((page) => [page.number, page.visible]));
