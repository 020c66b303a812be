/**
 * Why an image cannot be cropped without loss. The remedy is always the same and always safe: the
 * image goes into the panel whole, with the message as a note in the manifest.
 */
export type RefusalCode =
  | 'arithmeticCoding'
  | 'losslessCoding'
  | 'hierarchicalCoding'
  | 'samplePrecision'
  | 'heightUnknown'
  | 'jpeg2000'
  | 'jbig2'
  | 'unknownFilter'
  | 'unknownParameter'
  | 'descriptionMismatch'
  | 'masksUnregistered'
  | 'corruptData';

export interface ImageRefusal {
  readonly code: RefusalCode;
  /** One sentence for people: what is in the way. */
  readonly message: string;
}

export type Outcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly refusal: ImageRefusal };

/** Thrown inside the decoders, where a result type would slow the inner loops; never leaves this folder's public functions. */
export class ImageFault extends Error {
  readonly refusal: ImageRefusal;

  constructor(code: RefusalCode, message: string) {
    super(message);
    this.name = 'ImageFault';
    this.refusal = { code, message };
  }
}

/** Ends the work on an image whose data do not follow its own format. */
export function corrupt(message: string): never {
  throw new ImageFault('corruptData', message);
}

export const refused = (refusal: ImageRefusal): { readonly ok: false; readonly refusal: ImageRefusal } => ({
  ok: false,
  refusal,
});

/** The refusal behind a caught error; any other error is a bug or a failing disk and is thrown on. */
export function refusalFromError(error: unknown): ImageRefusal {
  if (error instanceof ImageFault) return error.refusal;
  throw error;
}
