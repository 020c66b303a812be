import { PDFDict, PDFDocument, PDFName, PDFPage, type PDFRef } from 'pdf-lib';
import { firstOf, present } from '../measure/present.ts';
import { ptFromMm } from '../measure/units.ts';
import { type DocumentFacts, writeFacts } from './document-facts.ts';
import { type DocumentStamp, stampLookName, stampOperators } from './document-stamp.ts';
import type { Drawing, RasterPicture } from './drawing.ts';
import { embeddedFaces } from './embedded-faces.ts';
import type { FontLibrary } from './font-library.ts';
import { type ContentPainter, contentFromDrawing } from './pdf-content.ts';

/** Packs bytes as zlib does (RFC 1950). */
export type Deflate = (bytes: Uint8Array) => Uint8Array;

/** Opacity of the white over a faint picture: how much of its darkness is removed. */
const VEIL_OPACITY = 0.55;

/** Writes drawings as the pages of a PDF 1.7 document, one page each. */
export async function pdfFromDrawings(
  drawings: readonly Drawing[],
  facts: DocumentFacts,
  fonts: FontLibrary,
  deflate: Deflate,
): Promise<Uint8Array> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  const { context } = doc;
  const { stamp } = facts;
  // First in the file, where documentStamped expects them.
  const stampRefs = stamp && { box: context.nextRef(), across: context.nextRef() };
  writeFacts(doc, facts);
  const looks = stamp ? stampForms(stamp) : undefined;
  const faces = embeddedFaces(
    context,
    [...drawings, ...(looks ? [...looks.box, ...looks.across] : [])],
    fonts,
  );
  const pictures = new Map<RasterPicture, readonly [string, PDFRef]>();

  const pictureNamed = (picture: RasterPicture): readonly [string, PDFRef] => {
    const before = pictures.get(picture);
    if (before) return before;
    const named = [`Im${pictures.size + 1}`, embedPicture(doc, picture, deflate)] as const;
    pictures.set(picture, named);
    return named;
  };
  const painted = (drawing: Drawing) => {
    const fontNames = PDFDict.withContext(context);
    const squares = PDFDict.withContext(context);
    const states = PDFDict.withContext(context);
    const painter: ContentPainter = {
      text: (item, units) => faces.text(item, units, fontNames),
      square: (item) => {
        const [name, ref] =
          item.kind === 'picture'
            ? pictureNamed(item.picture)
            : item.isAcross
              ? ['Across', present(stampRefs, 'The stamp of a drawing').across]
              : ['Stamp', present(stampRefs, 'The stamp of a drawing').box];
        squares.set(PDFName.of(name), ref);
        return name;
      },
      veil: () => {
        states.set(PDFName.of('Veil'), context.obj({ ca: VEIL_OPACITY }));
        return 'Veil';
      },
    };
    const operators = contentFromDrawing(drawing, 'pt', 'gray', painter);
    const resources = context.obj({});
    resources.set(PDFName.of('Font'), fontNames);
    resources.set(PDFName.of('XObject'), squares);
    if (states.keys().length > 0) resources.set(PDFName.of('ExtGState'), states);
    return { operators, resources };
  };

  const paintStamp = (ref: PDFRef, forms: readonly Drawing[], shown: number) => {
    const names = PDFDict.withContext(context);
    for (const [index, look] of forms.entries()) {
      const { operators, resources } = painted(look);
      const form = context.flateStream(operators, { ...formEntries(look), Resources: resources });
      names.set(PDFName.of(stampLookName(index)), context.register(form));
    }
    const entries = formEntries(firstOf(forms));
    const form = { ...entries, Matrix: fillingSquare(entries.BBox), Resources: { XObject: names } };
    context.assign(ref, context.stream(stampOperators(shown), form));
  };
  if (stamp && stampRefs && looks) {
    const shown = stamp.looks.findIndex(({ word }) => word === stamp.word);
    paintStamp(stampRefs.box, looks.box, shown);
    paintStamp(stampRefs.across, looks.across, shown);
  }
  for (const drawing of drawings) {
    const page = PDFPage.create(doc);
    page.setSize(ptFromMm(drawing.widthMm), ptFromMm(drawing.heightMm));
    const { operators, resources } = painted(drawing);
    page.node.set(PDFName.of('Contents'), context.register(context.flateStream(operators)));
    page.node.set(PDFName.of('Resources'), resources);
    doc.addPage(page);
  }

  faces.finish();
  // Facts that a stamp may change must stay outside object streams.
  return doc.save({ useObjectStreams: !stamp, addDefaultPage: false });
}

/** The stamp's words as forms: in the box, and across a page. All forms of one kind have the same size. */
function stampForms({ looks }: DocumentStamp): { readonly box: Drawing[]; readonly across: Drawing[] } {
  const largest = looks.find(({ across }) => across)?.across;
  const none: Drawing = { widthMm: largest?.widthMm ?? 1, heightMm: largest?.heightMm ?? 1, items: [] };
  return {
    box: looks.map(({ drawing }) => drawing),
    across: looks.map(({ across }) => across ?? none),
  };
}

const formEntries = ({ widthMm, heightMm }: Drawing) => ({
  Type: 'XObject',
  Subtype: 'Form',
  BBox: [0, 0, ptFromMm(widthMm), ptFromMm(heightMm)] as const,
});

const fillingSquare = ([, , width, height]: readonly [number, number, number, number]) => [
  1 / width,
  0,
  0,
  1 / height,
  0,
  0,
];

function embedPicture(doc: PDFDocument, picture: RasterPicture, deflate: Deflate): PDFRef {
  const image = doc.context.stream(deflate(picture.rgb), {
    Filter: 'FlateDecode',
    Type: 'XObject',
    Subtype: 'Image',
    Width: picture.widthPx,
    Height: picture.heightPx,
    ColorSpace: 'DeviceRGB',
    BitsPerComponent: 8,
  });
  return doc.context.register(image);
}
