import type { Problem } from '../../measure/result.ts';

/** Why an image cannot be cropped without loss. */
export type ImageProblemCode =
  | 'image-arithmetic-coding'
  | 'image-lossless-coding'
  | 'image-hierarchical-coding'
  | 'image-precision'
  | 'image-height-unknown'
  | 'image-jpeg-2000'
  | 'image-jpeg-2000-smaller'
  | 'image-bilevel-coding'
  | 'image-filter-unknown'
  | 'image-description-mismatch'
  | 'image-masks-unregistered'
  | 'image-too-large'
  | 'image-corrupt';

export type ImageProblem = Problem<ImageProblemCode>;

/** Nothing is lost; the file is only larger. */
const REMEDY =
  'The image goes into each panel whole; to save room, save it again in the artwork as Flate or baseline JPEG.';

export const imageProblem = (code: ImageProblemCode, message: string): ImageProblem => ({
  code,
  message,
  remedy: REMEDY,
});

/**
 * Thrown inside the decoders, where a result type would slow the inner loops. This folder's public functions never
 * throw it.
 */
export class ImageFault extends Error {
  readonly problem: ImageProblem;

  constructor(code: ImageProblemCode, message: string) {
    super(message);
    this.name = 'ImageFault';
    this.problem = imageProblem(code, message);
  }
}

/** Throws because an image's data break the rules of their own format. */
export function corrupt(message: string): never {
  throw new ImageFault('image-corrupt', message);
}

/** The problem in a caught error. Any other error is a bug or a disk failure and is rethrown. */
export function problemFromError(error: unknown): ImageProblem {
  if (error instanceof ImageFault) return error.problem;
  throw error;
}
