import { type PDFContext, PDFDict, PDFName, type PDFObject } from 'pdf-lib';
import { asciiBytes } from './byte-search.ts';
import type { CroppedImage } from './image-crops.ts';
import { cropEntries, cropMatrix, type PixelWindow } from './images/image-crop.ts';
import { PanelStream } from './panel-stream.ts';

/** Other versions of the whole picture (8.9.5.4), and what is said of it that no longer holds. */
const LEFT_OUT = ['Length', 'Alternates', 'OPI', 'Metadata', 'ID'].map((key) => PDFName.of(key));
/** Wider than the unit square, so that the edge of the picture is drawn and not clipped. */
const AROUND_UNIT_SQUARE = [-1, -1, 2, 2];
/** Of an image 5 m wide the ninth decimal is 5 nm; renderers round images up to the next device pixel. */
const MATRIX_DECIMALS = 12;

/**
 * What one panel gets in the place of an image: a form that paints the crop, with its masks, where it lay in
 * the image's unit square. It brings no Group, so blending, knockout and the fill colour of a stencil act on the crop
 * as they did on the image. `context` is that of the artwork.
 */
export function imageStandIn(image: CroppedImage, panel: number, context: PDFContext): PanelStream {
  const crops = image.crops.get(panel)!;
  const dict = cropDict(image, 0, crops[0]!, context);
  for (const [part, { key }] of image.parts.entries()) {
    if (key === undefined) continue;
    const mask = cropDict(image, part, crops[part]!, context);
    dict.set(key, new PanelStream(mask, { kind: 'cropped', image, part }));
  }
  const images = PDFDict.withContext(context);
  images.set(PDFName.of('Crop'), new PanelStream(dict, { kind: 'cropped', image, part: 0 }));
  const form = context.obj({ Type: 'XObject', Subtype: 'Form', FormType: 1, BBox: AROUND_UNIT_SQUARE });
  const resources = PDFDict.withContext(context);
  resources.set(PDFName.of('XObject'), images);
  form.set(PDFName.Resources, resources);
  const matrix = cropMatrix(crops[0]!, image.parts[0].form.image).map(decimal).join(' ');
  return new PanelStream(form, { kind: 'made', bytes: asciiBytes(`q ${matrix} cm /Crop Do Q\n`) });
}

function cropDict(image: CroppedImage, part: number, crop: PixelWindow, context: PDFContext): PDFDict {
  const { stream, form } = image.parts[part]!;
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

const decimal = (value: number): string => value.toFixed(MATRIX_DECIMALS).replace(/\.?0+$/, '');
