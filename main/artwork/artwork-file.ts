/** Artwork as a file on disk: hashed, opened, its pages listed. It is never held in memory. */
import { basename } from 'node:path';
import { artworkScan } from '../../core/checks/scan/artwork-scan.ts';
import { letteringPictureWidth, pageScanWithPicture } from '../../core/checks/scan/picture-lettering.ts';
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
import { tryFiles } from '../files/file-problem.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import { hashFile } from '../files/sha256.ts';
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
  /** What its pages hold, where somebody looked them through. */
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
  store?: ScanStore,
): Promise<Result<OpenedArtwork>> {
  return tryFiles(path, () => openFile(path, options, store));
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
  store: ScanStore | undefined,
): Promise<Result<OpenedArtwork>> {
  const source = await openPdfSource(path);
  const fileName = options.fileName ?? basename(path);
  const reference: ArtworkReference = { fileName, ...(await hashFile(path)), box: options.box };
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
  // Of a damaged file nothing is kept: reading its content may find more that is wrong with it.
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

/** The artwork with its pages looked through, which takes a while: a second or a few for a large one. */
export async function scanArtwork(
  opened: OpenedArtwork,
  report?: (done: number, total: number) => void | Promise<void>,
): Promise<OpenedArtwork & { readonly scan: ArtworkScan }> {
  if (opened.scan) return { ...opened, scan: opened.scan };
  const scan = await artworkScan(opened.artwork, opened.reference.box, report);
  return { ...opened, scan: { ...scan, pages: await lookAtPictures(opened, scan.pages) } };
}

/** Lettering that is outlines or pixels shows in a picture alone. A page that cannot be drawn goes without. */
async function lookAtPictures(opened: OpenedArtwork, scanned: readonly PageScan[]): Promise<PageScan[]> {
  const maker = new PictureMaker(opened.path, { password: opened.password });
  const pages: PageScan[] = [];
  try {
    for (const scan of scanned) {
      const page = opened.pages.find(({ number }) => number === scan.number);
      const picture = page && (await letteringPicture(maker, page));
      pages.push(picture && page ? pageScanWithPicture(scan, picture, page.visible) : scan);
    }
    return pages;
  } finally {
    await maker.close();
  }
}

async function letteringPicture(maker: PictureMaker, page: ArtworkPage): Promise<SideRaster | undefined> {
  const { visible, boxes, userUnit, number } = page;
  const widthPx = letteringPictureWidth(visible);
  const outcome = await maker.picture(number, pageArea(visible, boxes.crop, userUnit), widthPx);
  if (!outcome.ok) return undefined;
  const { width, height, rgba } = outcome.picture;
  return { width, height, channels: 4, data: rgba, ppi: (width * MM_PER_INCH) / visible.width };
}

export const pageExtents = (pages: readonly ArtworkPage[]): PageExtents =>
  new Map(pages.map((page) => [page.number, page.visible]));
