import type { PDFName, PDFStream } from 'pdf-lib';
import type { Matrix } from '../page/page-space.ts';
import type { ImageForm } from './image-form.ts';
import type { PixelWindow } from './pixel-window.ts';

/** An image, or a mask of one, as it is in the artwork. */
export interface ImagePart {
  /** Under which key of the image's dictionary a mask is; undefined for the image itself. */
  readonly key: PDFName | undefined;
  readonly stream: PDFStream;
  readonly form: ImageForm;
}

/** An image that some panels get only a part of. */
export interface CroppedImage {
  /** The image, then its masks, which are cut with it. */
  readonly parts: readonly [ImagePart, ...ImagePart[]];
  /** By the index of each panel that gets a crop. */
  readonly crops: ReadonlyMap<number, ImageCrop>;
}

export interface ImageCrop {
  /** Pixels to keep, part by part. */
  readonly pixels: readonly PixelWindow[];
  /** The image's unit square to the panel's page, where it is placed first. */
  readonly placement: Matrix;
}
