/**
 * Artwork: a PDF opened once, its pages listed with their boxes, ready to be cut many times (core/pdf/cut.ts).
 */
import { PDFArray, PDFDict, PDFName, PDFRawStream } from 'pdf-lib';
import type { PageBox } from '../job/schema.ts';
import type { Rect } from '../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import { type ArtworkProblem, artworkProblem } from './artwork-problem.ts';
import { latin1 } from './file/syntax.ts';
import { type PageGeometry, pageGeometry } from './page-boxes.ts';
import { pageContent } from './page-content.ts';
import { boxUnion, type PageRotation, PageSpace } from './page-space.ts';
import { type SourcePage, sourcePages } from './page-tree.ts';
import { type SourceDocument, sourceDocumentFromBytes } from './source-document.ts';
import { streamData } from './stream-data.ts';

export const PAGE_BOXES: readonly PageBox[] = ['media', 'crop', 'bleed', 'trim', 'art'];

/** An opened PDF. Treat its parts as private to core/pdf; ask `artworkPages` for what it holds. */
export interface Artwork {
  /** The file as given; streams are views on it, so it must not be changed. */
  readonly bytes: Uint8Array;
  readonly document: SourceDocument;
  readonly pages: readonly SourcePage[];
}

/** One page as the operator sees it. */
export interface ArtworkPage {
  /** Counted from 1. */
  readonly number: number;
  /** Size of the chosen box as shown, Rotate and UserUnit undone. */
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  /** Every box in drawn space, whose origin is the top left corner of the chosen box. */
  readonly boxes: Readonly<Record<PageBox, Rect<'drawn'>>>;
  /** Where artwork can be cut from: the chosen box and the CropBox, whichever reaches further. */
  readonly visible: Rect<'drawn'>;
  readonly rotation: PageRotation;
  readonly userUnit: number;
  readonly facts: PageFacts;
}

/** What a check may want to tell the operator about a page. */
export interface PageFacts {
  /** How many annotations (comments, form fields, stamps) it has; they are not artwork and are left out. */
  readonly annotations: number;
  /** Whether the document has layers, which keep their default state. */
  readonly hasLayers: boolean;
  readonly hasOutputIntent: boolean;
  /** The PDF/X version the file claims, such as `PDF/X-4`; the panels do not claim it. */
  readonly pdfxClaim: string | undefined;
  readonly isEncrypted: boolean;
  /** Whether the file's structure was damaged and had to be repaired. */
  readonly isRepaired: boolean;
  /** Whether saves and restores of the graphics state did not pair, which was put right. */
  readonly isUnbalanced: boolean;
  readonly isBlank: boolean;
  readonly isMediaBoxMissing: boolean;
  /** Boxes that lie outside the MediaBox and are ignored. */
  readonly ignoredBoxes: readonly PageBox[];
}

/**
 * Opens a PDF of any version from 1.3 to 2.0. The bytes are kept, not copied.
 *
 * Problems: `pdf-not-a-pdf`, `pdf-damaged`, `pdf-no-pages`, `pdf-password-needed`, `pdf-password-wrong`,
 * `pdf-encryption-unknown`; the first page's problem where no page at all can be used.
 */
export async function artworkFromBytes(
  bytes: Uint8Array,
  options: { readonly password?: string } = {},
): Promise<Result<Artwork, ArtworkProblem>> {
  const loaded = await sourceDocumentFromBytes(bytes, options.password);
  if (!loaded.ok) return loaded;
  const pages = sourcePages(loaded.value.context, loaded.value.catalog);
  if (pages.length === 0) {
    return resultProblem(
      artworkProblem(
        'pdf-no-pages',
        'This PDF has no pages.',
        'Export the artwork again and check that the PDF opens in a viewer.',
      ),
    );
  }
  const artwork: Artwork = { bytes, document: loaded.value, pages };
  const listed = artworkPages(artwork);
  const usable = listed.find((page) => page.ok);
  return usable ? resultOk(artwork) : (listed[0] as Result<never, ArtworkProblem>);
}

/** All pages in order, each with its own problem where it has no usable size or cannot be read. `box` is the origin of drawn space. */
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
  const { page, geometry, space } = found.value;
  const content = pageContent(page, number);
  if (!content.ok) return content;
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
      ...documentFacts(artwork.document, page),
      isUnbalanced: content.value.isUnbalanced,
      isBlank: content.value.bytes.length === 0,
      isMediaBoxMissing: geometry.isMediaBoxMissing,
      ignoredBoxes: geometry.ignoredBoxes,
    },
  });
}

/** A page together with its change of coordinates; shared by listing and cutting. */
export function pageWithSpace(
  artwork: Artwork,
  number: number,
  box: PageBox,
): Result<{ page: SourcePage; geometry: PageGeometry; space: PageSpace }, ArtworkProblem> {
  const page = artwork.pages[number - 1];
  if (!page) {
    const count = artwork.pages.length;
    return resultProblem(
      artworkProblem(
        'pdf-page-missing',
        `The artwork has no page ${number}: it has ${count === 1 ? 'one page' : `${count} pages`}.`,
        'Choose a page that the artwork has, or import the right artwork.',
      ),
    );
  }
  const geometry = pageGeometry(page, number);
  if (!geometry.ok) return geometry;
  const { boxes, rotation, userUnit } = geometry.value;
  return resultOk({ page, geometry: geometry.value, space: new PageSpace(boxes[box], rotation, userUnit) });
}

/**
 * Viewers show a page cut to its CropBox. A bleed or trim box may reach beyond it, and then the operator has
 * asked for what lies there.
 */
export const visibleBox = (geometry: PageGeometry, box: PageBox) =>
  boxUnion(geometry.boxes[box], geometry.boxes.crop);

function documentFacts(
  source: SourceDocument,
  page: SourcePage,
): Pick<
  PageFacts,
  'annotations' | 'hasLayers' | 'hasOutputIntent' | 'pdfxClaim' | 'isEncrypted' | 'isRepaired'
> {
  const annotations = page.dict.lookup(PDFName.Annots);
  const intents = PDFName.of('OutputIntents');
  return {
    annotations: annotations instanceof PDFArray ? annotations.size() : 0,
    hasLayers: source.catalog.lookup(PDFName.of('OCProperties')) instanceof PDFDict,
    hasOutputIntent: [source.catalog, page.dict].some((dict) => dict.lookup(intents) instanceof PDFArray),
    pdfxClaim: pdfxClaim(source),
    isEncrypted: source.isEncrypted,
    isRepaired: source.isRepaired,
  };
}

/** PDF/X-1a and X-3 state their version in Info (ISO 15930-1 and -3), X-4 in the XMP (ISO 15930-7). */
function pdfxClaim(source: SourceDocument): string | undefined {
  const stated = source.info?.lookup(PDFName.of('GTS_PDFXVersion'));
  if (stated && 'decodeText' in stated && typeof stated.decodeText === 'function') return stated.decodeText();
  const metadata = source.catalog.lookup(PDFName.of('Metadata'));
  if (!(metadata instanceof PDFRawStream)) return undefined;
  try {
    const xmp = latin1(streamData(metadata));
    return /GTS_PDFXVersion(?:>|\s*=\s*["'])\s*([^<"']+)/.exec(xmp)?.[1]?.trim();
  } catch {
    return undefined;
  }
}
