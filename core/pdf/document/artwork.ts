/**
 * Artwork: a PDF opened once, its pages listed with their boxes, ready to be cut many times (core/pdf/cut.ts).
 */
import type { PageBox } from '../../measure/page-box.ts';
import { firstOf } from '../../measure/present.ts';
import type { Rect } from '../../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import type { ContentFacts } from '../content/page-content.ts';
import type { ByteSource } from '../file/byte-source.ts';
import type { PdfCodecs } from '../file/codecs.ts';
import { type PdfPage, pdfPages } from '../file/pages.ts';
import { openPdfFile, type PdfFile } from '../file/pdf-file.ts';
import { type ArtworkProblem, artworkProblem, withPdfProblems } from '../page/artwork-problem.ts';
import { type PageGeometry, pageGeometry } from '../page/page-boxes.ts';
import { boxUnion, type PageRotation, PageSpace, type SourceBox } from '../page/page-space.ts';
import { ResourceUse } from '../write/resource-use.ts';
import { documentFacts, type PageFacts, pageFacts } from './page-facts.ts';

export const PAGE_BOXES: readonly PageBox[] = ['media', 'crop', 'bleed', 'trim', 'art'];

/** An opened PDF. Treat its parts as private to core/pdf; ask `artworkPages` for what it holds. */
export interface Artwork {
  readonly file: PdfFile;
  readonly pages: readonly SourcePage[];
  readonly resourceUse: ResourceUse;
}

/** A page as read when the artwork was opened. */
export interface SourcePage {
  readonly page: PdfPage;
  readonly geometry: Result<PageGeometry, ArtworkProblem>;
  readonly facts: Result<PageFacts, ArtworkProblem>;
}

export interface ArtworkOptions {
  readonly codecs: PdfCodecs;
  readonly password?: string | undefined;
  /** What an earlier opening of the same file found in its pages' contents, page by page. */
  readonly known?: readonly (ContentFacts | undefined)[] | undefined;
}

/** One page as the operator sees it. */
export interface ArtworkPage {
  /** Counted from 1. */
  readonly number: number;
  /** Size of the chosen box as shown, with Rotate and UserUnit applied. */
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  /** Every box in drawn space, whose origin is the top left corner of the chosen box. */
  readonly boxes: Readonly<Record<PageBox, Rect<'drawn'>>>;
  /** Where artwork can be cut from: the chosen box or the CropBox, whichever extends further. */
  readonly visible: Rect<'drawn'>;
  readonly rotation: PageRotation;
  readonly userUnit: number;
  readonly facts: PageFacts & GeometryFacts;
}

/** What is unusual about a page's boxes. */
export interface GeometryFacts {
  readonly isMediaBoxMissing: boolean;
  /** Boxes that are outside the MediaBox and are ignored. */
  readonly ignoredBoxes: readonly PageBox[];
}

/**
 * Opens a PDF of any version from 1.3 to 2.0. Reads its cross-reference and its pages but no pictures. The source is
 * read as long as the artwork is in use, and must not change meanwhile.
 *
 * Problems: `pdf-not-a-pdf`, `pdf-damaged`, `pdf-no-pages`, `pdf-password-needed`, `pdf-password-wrong`,
 * `pdf-encryption-unknown` and other damage; the first page's problem where no page at all can be used. Keeps ART4.
 */
export function artworkFromSource(
  source: ByteSource,
  options: ArtworkOptions,
): Promise<Result<Artwork, ArtworkProblem>> {
  return withPdfProblems(async () => {
    const opened = await openPdfFile(source, options);
    if (!opened.ok) throw opened.problem;
    const file = opened.value;
    const document = await documentFacts(file);
    const pages: SourcePage[] = [];
    for await (const page of pdfPages(file)) {
      pages.push({
        page,
        geometry: await pageGeometry(file, page),
        facts: await withPdfProblems(async () =>
          resultOk(await pageFacts(file, page, document, options.known?.[page.index])),
        ),
      });
    }
    if (pages.length === 0) return resultProblem(NO_PAGES);
    const artwork: Artwork = { file, pages, resourceUse: new ResourceUse(file) };
    const listed = artworkPages(artwork);
    const first = listed.find((page) => page.ok) ?? firstOf(listed);
    return first.ok ? resultOk(artwork) : first;
  });
}

const NO_PAGES = artworkProblem(
  'pdf-no-pages',
  'This PDF has no pages.',
  'Export the artwork again and check that the PDF opens in a viewer.',
);

/**
 * All pages in order. A page without a usable size, or one that cannot be read, has its own problem. The corner of
 * `box` is the origin of drawn space.
 */
export function artworkPages(artwork: Artwork, box: PageBox = 'crop'): Result<ArtworkPage, ArtworkProblem>[] {
  return artwork.pages.map((_, index) => artworkPage(artwork, index + 1, box));
}

/** One page, counted from 1. Problems: `pdf-page-missing`, `page-box-…`, `page-user-unit-invalid`, `pdf-stream-damaged`. */
export function artworkPage(
  artwork: Artwork,
  number: number,
  box: PageBox = 'crop',
): Result<ArtworkPage, ArtworkProblem> {
  const found = pageWithSpace(artwork, number, box);
  if (!found.ok) return found;
  const { source, geometry, space } = found.value;
  if (!source.facts.ok) return source.facts;
  const boxes = Object.fromEntries(
    PAGE_BOXES.map((name) => [name, space.rectFromBox(geometry.boxes[name])]),
  ) as Record<PageBox, Rect<'drawn'>>;
  return resultOk({
    number,
    widthMm: space.widthMm,
    heightMm: space.heightMm,
    boxes,
    visible: space.rectFromBox(visibleBox(geometry, box)),
    rotation: geometry.rotation,
    userUnit: geometry.userUnit,
    facts: {
      ...source.facts.value,
      isMediaBoxMissing: geometry.isMediaBoxMissing,
      ignoredBoxes: geometry.ignoredBoxes,
    },
  });
}

export interface PageWithSpace {
  readonly source: SourcePage;
  readonly geometry: PageGeometry;
  readonly space: PageSpace;
}

/** A page together with its change of coordinates; listing and cutting share it. */
export function pageWithSpace(
  artwork: Artwork,
  number: number,
  box: PageBox,
): Result<PageWithSpace, ArtworkProblem> {
  const source = artwork.pages[number - 1];
  if (!source) {
    const count = artwork.pages.length;
    return resultProblem(
      artworkProblem(
        'pdf-page-missing',
        `The artwork has no page ${number}: it has ${count === 1 ? 'one page' : `${count} pages`}.`,
        'Select a page that the artwork has, or import the right artwork.',
      ),
    );
  }
  if (!source.geometry.ok) return source.geometry;
  const geometry = source.geometry.value;
  const space = new PageSpace(geometry.boxes[box], geometry.rotation, geometry.userUnit);
  return resultOk({ source, geometry, space });
}

/**
 * Viewers show a page clipped to its CropBox. A bleed or trim box may extend beyond it; selecting that box means that
 * the operator wants what is there.
 */
export const visibleBox = (geometry: PageGeometry, box: PageBox): SourceBox =>
  boxUnion(geometry.boxes[box], geometry.boxes.crop);
