/** An opened panel file: its page, and the form that contains the art. */
import { PDFDict, PDFName, PDFStream } from 'pdf-lib';
import { type Result, resultOk } from '../../measure/result.ts';
import { pageContents } from '../../pdf/content/content-page.ts';
import { boxOf, matrixOf } from '../../pdf/content/object-numbers.ts';
import { OptionalContent } from '../../pdf/content/optional-content.ts';
import {
  type Artwork,
  artworkFromSource,
  type PageWithSpace,
  pageWithSpace,
} from '../../pdf/document/artwork.ts';
import type { ByteSource } from '../../pdf/file/byte-source.ts';
import { bytesJoined } from '../../pdf/file/byte-stream.ts';
import type { PdfCodecs } from '../../pdf/file/codecs.ts';
import { dictOf } from '../../pdf/file/dict-values.ts';
import { type PdfPage, pageAttribute } from '../../pdf/file/pages.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { type ArtworkProblem, withPdfProblems } from '../../pdf/page/artwork-problem.ts';
import { type Matrix, matrixProduct, type SourceBox } from '../../pdf/page/page-space.ts';
import { paintedSequence, type WalkedContent } from './content-walk.ts';
import { ObjectDigests } from './object-digests.ts';
import { boxWidened } from './painted-boxes.ts';
import { type PanelContours, panelContours } from './panel-contours.ts';

/** The form that paints the artwork on a panel's page. */
export interface PanelArt {
  readonly stream: PDFStream;
  /** Maps user space of the artwork's page to that of the panel's page, including all matrices around the form. */
  readonly matrix: Matrix;
  /** The area that it shows, in user space of the artwork's page. */
  readonly box: SourceBox | undefined;
  /** Whether the page paints it once, without a group, and sets only its matrix. */
  readonly isPlain: boolean;
}

export interface PanelDocument extends PageWithSpace {
  readonly pdf: Artwork;
  readonly digests: ObjectDigests;
  readonly art: PanelArt | undefined;
  readonly beside: PaintedBeside;
  /** Lines for a cutter. They count neither as art nor as something beside it. */
  readonly contours: PanelContours | undefined;
}

/** What the page paints besides its art: labels and marks, which belong in the border. */
export interface PaintedBeside {
  /** Whether part of it certainly shows on the printed area. */
  readonly isOnArt: boolean;
  /** Whether all of it is certainly inside the border. */
  readonly isInBorder: boolean;
}

/** The name under which a panel's page paints its art (core/cut/panel-document.ts). */
const ART = PDFName.of('Art');

/** Opens a panel. Problems: those of any PDF that cannot be read. */
export async function panelDocument(
  file: ByteSource,
  codecs: PdfCodecs,
): Promise<Result<PanelDocument, ArtworkProblem>> {
  const pdf = await artworkFromSource(file, { codecs });
  if (!pdf.ok) return pdf;
  const page = pageWithSpace(pdf.value, 1, 'media');
  if (!page.ok) return page;
  return withPdfProblems(async () => {
    const digests = new ObjectDigests(pdf.value.file);
    return resultOk({
      ...page.value,
      pdf: pdf.value,
      digests,
      ...(await artAndMarks(pdf.value, page.value, digests)),
    });
  });
}

/** A page as the verification walks through it. */
export async function pageToWalk(
  file: PdfFile,
  page: PdfPage,
  digests: ObjectDigests,
  box: SourceBox,
): Promise<WalkedContent> {
  const parts: Uint8Array[] = [];
  for await (const part of pageContents(file, page)) parts.push(part);
  return {
    file,
    digests,
    layers: await OptionalContent.from(await file.catalog(), file),
    resources: dictOf(await file.resolved(await pageAttribute(file, page, 'Resources'))),
    bytes: bytesJoined(parts),
    box,
  };
}

async function artAndMarks(
  { file }: Artwork,
  { source: { page }, geometry }: PageWithSpace,
  digests: ObjectDigests,
): Promise<Pick<PanelDocument, 'art' | 'beside' | 'contours'>> {
  const walked = await pageToWalk(file, page, digests, geometry.boxes.media);
  const forms = await file.entry(walked.resources, 'XObject');
  const stream = forms instanceof PDFDict ? await file.resolved(forms.get(ART)) : undefined;
  let beside: PaintedBeside = { isOnArt: false, isInBorder: true };
  const contours = await panelContours(file, walked.resources);
  if (!(stream instanceof PDFStream)) return { art: undefined, beside, contours };
  const around: Matrix[] = [];
  let isInitial = true;
  const printed = boxWidened(geometry.boxes.bleed, -BESIDE_SLACK);
  await paintedSequence(walked, {
    paints(shown, bound) {
      beside = {
        isOnArt: beside.isOnArt || (shown !== undefined && isOverlap(shown, printed)),
        isInBorder: beside.isInBorder && bound !== undefined && !isOverlap(bound, printed),
      };
    },
    enters(painted, state) {
      if (painted === contours?.stream) return !state.isInitial;
      if (painted !== stream) return true;
      around.push(state.ctm);
      isInitial &&= state.isInitial;
      return false;
    },
  });
  const [first, ...more] = around;
  if (!first) return { art: undefined, beside, contours };
  const matrix = (await matrixOf(stream.dict.get(PDFName.of('Matrix')), file)) ?? [1, 0, 0, 1, 0, 0];
  const hasGroup = (await file.entry(stream.dict, 'Group')) !== undefined;
  const hasLayer = (await file.entry(stream.dict, 'OC')) !== undefined;
  const art: PanelArt = {
    stream,
    matrix: matrixProduct(matrix, first),
    box: await boxOf(stream.dict.get(PDFName.of('BBox')), file),
    isPlain: isInitial && more.length === 0 && !hasGroup && !hasLayer,
  };
  return { art, beside, contours };
}

/** In units of the panel's page. It covers only rounding, because marks keep a distance from the printed area. */
const BESIDE_SLACK = 0.01;

/** Whether two boxes share any point; the box of a line may have no width. */
const isOverlap = (a: SourceBox, b: SourceBox): boolean =>
  a.x0 <= a.x1 && a.y0 <= a.y1 && a.x0 < b.x1 && a.x1 > b.x0 && a.y0 < b.y1 && a.y1 > b.y0;

const EVERYWHERE: SourceBox = { x0: -1e9, y0: -1e9, x1: 1e9, y1: 1e9 };

/** The art as a page to walk, in user space of the artwork's page. */
export async function artToWalk(
  { pdf: { file }, digests }: PanelDocument,
  art: PanelArt,
): Promise<WalkedContent> {
  return {
    file,
    digests,
    layers: await OptionalContent.from(await file.catalog(), file),
    resources: dictOf(await file.entry(art.stream.dict, 'Resources')),
    bytes: (await file.streamDecoded(art.stream)).bytes,
    box: art.box ?? EVERYWHERE,
  };
}
