/** A panel's file, opened: its page, and the form that holds the art. */
import { PDFDict, PDFName, PDFStream } from 'pdf-lib';
import { type Result, resultOk } from '../../measure/result.ts';
import { pageContents } from '../../pdf/content/content-page.ts';
import { boxOf, matrixOf } from '../../pdf/content/object-numbers.ts';
import { OptionalContent } from '../../pdf/content/optional-content.ts';
import { walkContent } from '../../pdf/content/walk.ts';
import type { WalkedPage } from '../../pdf/content/walk-state.ts';
import {
  type Artwork,
  artworkFromSource,
  type PageWithSpace,
  pageWithSpace,
} from '../../pdf/document/artwork.ts';
import type { ByteSource } from '../../pdf/file/byte-source.ts';
import type { PdfCodecs } from '../../pdf/file/codecs.ts';
import { dictOf } from '../../pdf/file/dict-values.ts';
import { pageAttribute } from '../../pdf/file/pages.ts';
import { type ArtworkProblem, withPdfProblems } from '../../pdf/page/artwork-problem.ts';
import { type Matrix, matrixProduct, type SourceBox } from '../../pdf/page/page-space.ts';

/** The form that paints the artwork on a panel's page. */
export interface PanelArt {
  readonly stream: PDFStream;
  /** User space of the artwork's page to that of the panel's, everything around the form included. */
  readonly matrix: Matrix;
  /** What it shows, in user space of the artwork's page. */
  readonly box: SourceBox | undefined;
}

export interface PanelDocument extends PageWithSpace {
  readonly pdf: Artwork;
  readonly art: PanelArt | undefined;
}

/** The name under which a panel's page paints its art (core/pdf/panel-writer.ts). */
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
  return withPdfProblems(async () =>
    resultOk({ ...page.value, pdf: pdf.value, art: await panelArt(pdf.value, page.value) }),
  );
}

async function panelArt(
  { file }: Artwork,
  { source: { page }, geometry }: PageWithSpace,
): Promise<PanelArt | undefined> {
  const resources = await pageAttribute(file, page, 'Resources');
  const forms = await file.entry(dictOf(resources), 'XObject');
  const stream = forms instanceof PDFDict ? await file.resolved(forms.get(ART)) : undefined;
  if (!(stream instanceof PDFStream)) return undefined;
  let around: Matrix | undefined;
  await walkContent(
    {
      objects: file,
      contents: () => pageContents(file, page),
      resources: dictOf(resources),
      box: geometry.boxes.media,
      layers: await OptionalContent.from(await file.catalog(), file),
    },
    {
      onPainted({ object, state }) {
        if (object === stream) around = state.ctm;
      },
      entersForm: () => false,
    },
  );
  if (around === undefined) return undefined;
  const matrix = (await matrixOf(stream.dict.get(PDFName.of('Matrix')), file)) ?? [1, 0, 0, 1, 0, 0];
  return {
    stream,
    matrix: matrixProduct(matrix, around),
    box: await boxOf(stream.dict.get(PDFName.of('BBox')), file),
  };
}

/** The art as a page to be walked, in user space of the artwork's page. */
export async function artPage({ pdf: { file } }: PanelDocument, art: PanelArt): Promise<WalkedPage> {
  return {
    objects: file,
    async *contents() {
      yield (await file.streamDecoded(art.stream)).bytes;
    },
    resources: dictOf(await file.entry(art.stream.dict, 'Resources')),
    box: art.box ?? { x0: -1e9, y0: -1e9, x1: 1e9, y1: 1e9 },
    layers: await OptionalContent.from(await file.catalog(), file),
  };
}
