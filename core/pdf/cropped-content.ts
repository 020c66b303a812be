import type { PDFObject } from 'pdf-lib';
import { asciiBytes, bytesJoined } from './byte-search.ts';
import type { StreamCut } from './content/stream-record.ts';
import type { CroppedImage } from './image-crops.ts';
import { cropMatrix } from './images/image-crop.ts';

/** Of an image 5 m wide the ninth decimal is 5 nm; renderers round images up to the next device pixel. */
const MATRIX_DECIMALS = 12;

/** The crops of one panel, by image. */
export interface PanelCrops {
  readonly panel: number;
  readonly images: ReadonlyMap<PDFObject, CroppedImage>;
}

/**
 * Content in which each crop is painted where it lay in the image's unit square: `cm` in front of its `Do`, between a
 * save and a restore. Nothing else about it changes, so masks, blending, knockout and a stencil's colour act on
 * the crop as they did on the image.
 */
export function croppedContent(
  { content, images }: StreamCut,
  { panel, images: crops }: PanelCrops,
): Uint8Array {
  const parts: Uint8Array[] = [];
  let from = 0;
  for (const { image, start, end } of images) {
    const cropped = crops.get(image);
    if (cropped === undefined) continue;
    const matrix = cropMatrix(cropped.crops.get(panel)![0]!, cropped.parts[0].form.image);
    parts.push(content.subarray(from, start), asciiBytes(`q ${matrix.map(decimal).join(' ')} cm `));
    parts.push(content.subarray(start, end), asciiBytes(' Q'));
    from = end;
  }
  return from === 0 ? content : bytesJoined([...parts, content.subarray(from)]);
}

const decimal = (value: number): string => value.toFixed(MATRIX_DECIMALS).replace(/\.?0+$/, '');
