import { type PDFContext, PDFDict, PDFName, type PDFRef } from 'pdf-lib';
import { ptFromMm } from '../../measure/units.ts';
import { embeddedFaces } from '../../sheets/drawing/embedded-faces.ts';
import type { FontLibrary } from '../../sheets/drawing/font-library.ts';
import { contentFromDrawing } from '../../sheets/drawing/pdf-content.ts';
import type { PanelMarks } from './panel-marks.ts';

/**
 * The marks as a form XObject with its own embedded fonts, so that the label can be searched and read back.
 * The form's BBox is the film: its unit is the point at film size and its origin the film's bottom left; a
 * reduction puts a `cm` before `Do`. It paints black of the K plate alone and sets no overprint.
 */
export async function marksForm(context: PDFContext, marks: PanelMarks, fonts: FontLibrary): Promise<PDFRef> {
  const { drawing } = marks;
  const faces = await embeddedFaces(context, [drawing], fonts);
  const fontNames = PDFDict.withContext(context);
  const content = contentFromDrawing(drawing, 'black-plate', {
    text: (item, units) => faces.text(item, units, fontNames),
    picture: ({ kind }) => {
      throw new Error(`marks cannot hold a ${kind}`);
    },
  });
  await faces.finish();
  const resources = context.obj({});
  resources.set(PDFName.of('Font'), fontNames);
  const form = context.flateStream(content, {
    Type: 'XObject',
    Subtype: 'Form',
    BBox: [0, 0, ptFromMm(drawing.widthMm), ptFromMm(drawing.heightMm)],
  });
  form.dict.set(PDFName.of('Resources'), resources);
  return context.register(form);
}
