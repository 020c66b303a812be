import type { PDFName, PDFStream } from 'pdf-lib';
import type { Matrix } from '../page/page-space.ts';
import type { ImageForm } from './image-form.ts';
import type { PixelWindow } from './pixel-window.ts';

/** An image, or one of its masks, as it is in the artwork. */
export interface ImagePart {
  /** The key of a mask in the image's dictionary; undefined for the image itself. */
  readonly key: PDFName | undefined;
  readonly stream: PDFStream;
  readonly form: ImageForm;
}

/** An image of which some panels get only a part. */
export interface CroppedImage {
  /** The image, then its masks, which are cut with it. */
  readonly parts: readonly [ImagePart, ...ImagePart[]];
  /** By the index of each panel that gets a crop. */
  readonly crops: ReadonlyMap<number, ImageCrop>;
}

export interface ImageCrop {
  /** Pixels to keep, part by part. */
  readonly pixels: readonly PixelWindow[];
  /** Maps the image's unit square to the panel's page, at its first placement. */
  readonly placement: Matrix;
}
