import { type PDFContext, PDFDict, PDFName, type PDFObject } from 'pdf-lib';
import { firstOf, itemAt, valueAt } from '../measure/present.ts';
import type { CroppedImage } from '../pdf/images/cropped-image.ts';
import { cropEntries, type PixelWindow } from '../pdf/images/image-crop.ts';
import { PanelStream } from '../pdf/write/panel-stream.ts';

/** Other versions of the whole picture (8.9.5.4), and entries that no longer apply to it. */
const LEFT_OUT = ['Length', 'Alternates', 'OPI', 'Metadata', 'ID'].map((key) => PDFName.of(key));
/** What one panel gets instead of an image: its crop, with its masks. `context` is that of the artwork. */
export function imageStandIn(image: CroppedImage, panel: number, context: PDFContext): PanelStream {
  const crops = valueAt(image.crops, panel).pixels;
  const dict = cropDict(image, 0, firstOf(crops), context);
  for (const [part, { key }] of image.parts.entries()) {
    if (key === undefined) continue;
    const mask = cropDict(image, part, itemAt(crops, part), context);
    dict.set(key, new PanelStream(mask, { kind: 'cropped', image, part }));
  }
  return new PanelStream(dict, { kind: 'cropped', image, part: 0 });
}

function cropDict(image: CroppedImage, part: number, crop: PixelWindow, context: PDFContext): PDFDict {
  const { stream, form } = itemAt(image.parts, part);
  const dict = PDFDict.withContext(context);
  for (const [key, value] of stream.dict.entries()) if (!LEFT_OUT.includes(key)) dict.set(key, value);
  for (const [key, value] of Object.entries(cropEntries(form, crop))) {
    if (value === undefined) dict.delete(PDFName.of(key));
    else dict.set(PDFName.of(key), entryObject(value, context));
  }
  return dict;
}

const entryObject = (
  value: number | string | Readonly<Record<string, number | boolean>>,
  context: PDFContext,
): PDFObject => (typeof value === 'string' ? PDFName.of(value) : context.obj(value as never));
