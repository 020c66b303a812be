import { PDFDict, PDFDocument, PDFHexString, PDFName, PDFPage, type PDFRef, PDFString } from 'pdf-lib';
import { ptFromMm } from '../measure/units.ts';
import { DOCUMENT_MARK } from './document-mark.ts';
import type { Drawing, RasterPicture } from './drawing.ts';
import { embeddedFaces } from './embedded-faces.ts';
import type { FontLibrary } from './font-library.ts';
import { type ContentPainter, contentFromDrawing } from './pdf-content.ts';

/** What a document says about itself. */
export interface DocumentFacts {
  readonly title: string;
  readonly author: string;
  readonly subject: string;
  /** Date of issue, `2026-11-25`: the same job gives the same bytes whenever it is written. */
  readonly date: string;
  /** 64 hexadecimal digits that name this document, from the job and its artwork; the file identifier begins with it. */
  readonly sha256: string;
}

/** Writes drawings as the pages of a PDF 1.7 document, one page each. */
export async function pdfFromDrawings(
  drawings: readonly Drawing[],
  facts: DocumentFacts,
  fonts: FontLibrary,
): Promise<Uint8Array> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  const faces = embeddedFaces(doc.context, drawings, fonts);
  const pictures = new Map<RasterPicture, PDFRef>();

  for (const drawing of drawings) {
    const page = PDFPage.create(doc);
    page.setSize(ptFromMm(drawing.widthMm), ptFromMm(drawing.heightMm));
    const fontNames = PDFDict.withContext(doc.context);
    const pictureNames = PDFDict.withContext(doc.context);
    const painter: ContentPainter = {
      text: (item, units) => faces.text(item, units, fontNames),
      picture: ({ picture }) => {
        const ref = pictures.get(picture) ?? embedPicture(doc, picture);
        pictures.set(picture, ref);
        const name = `Im${[...pictures.keys()].indexOf(picture) + 1}`;
        pictureNames.set(PDFName.of(name), ref);
        return name;
      },
    };
    const content = doc.context.flateStream(contentFromDrawing(drawing, 'pt', 'gray', painter));
    page.node.set(PDFName.of('Contents'), doc.context.register(content));
    const resources = doc.context.obj({});
    resources.set(PDFName.of('Font'), fontNames);
    resources.set(PDFName.of('XObject'), pictureNames);
    page.node.set(PDFName.of('Resources'), resources);
    doc.addPage(page);
  }

  faces.finish();
  writeFacts(doc, facts);
  return doc.save({ useObjectStreams: true, addDefaultPage: false });
}

function embedPicture(doc: PDFDocument, picture: RasterPicture): PDFRef {
  const image = doc.context.flateStream(picture.rgb, {
    Type: 'XObject',
    Subtype: 'Image',
    Width: picture.widthPx,
    Height: picture.heightPx,
    ColorSpace: 'DeviceRGB',
    BitsPerComponent: 8,
  });
  return doc.context.register(image);
}

function writeFacts(doc: PDFDocument, facts: DocumentFacts): void {
  const { context, catalog } = doc;
  const date = PDFString.of(`D:${facts.date.replaceAll('-', '')}000000Z`);
  const info = context.obj({});
  info.set(PDFName.of('Title'), PDFHexString.fromText(facts.title));
  info.set(PDFName.of('Author'), PDFHexString.fromText(facts.author));
  info.set(PDFName.of('Subject'), PDFHexString.fromText(facts.subject));
  info.set(PDFName.of('Creator'), PDFString.of('Panelwright'));
  info.set(PDFName.of('Producer'), PDFString.of('Panelwright'));
  info.set(PDFName.of('CreationDate'), date);
  info.set(PDFName.of('ModDate'), date);
  context.trailerInfo.Info = context.register(info);
  const identifier = PDFHexString.of(`${facts.sha256.slice(0, 32 - DOCUMENT_MARK.length)}${DOCUMENT_MARK}`);
  context.trailerInfo.ID = context.obj([identifier, identifier]);
  catalog.set(PDFName.of('Lang'), PDFString.of('en'));
  const preferences = context.obj({ DisplayDocTitle: true, PrintScaling: 'None' });
  catalog.set(PDFName.of('ViewerPreferences'), preferences);
}
