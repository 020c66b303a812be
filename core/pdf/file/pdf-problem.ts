import type { Problem } from '../../measure/result.ts';

export type PdfProblemCode =
  | 'pdf-not-a-pdf'
  | 'pdf-damaged'
  | 'pdf-no-pages'
  | 'pdf-page-missing'
  | 'pdf-password-needed'
  | 'pdf-password-wrong'
  | 'pdf-encryption-unknown'
  | 'pdf-filter-unknown'
  | 'pdf-stream-damaged'
  | 'pdf-nested-too-deep'
  | 'pdf-too-large';

/**
 * An expected problem with a file. It is thrown inside this folder because it can occur at any read. `openPdfFile`
 * returns it as a value; later readers catch it by `isPdfProblem`.
 */
export class PdfProblem extends Error implements Problem<PdfProblemCode> {
  readonly code: PdfProblemCode;
  readonly remedy: string;

  constructor(code: PdfProblemCode, message: string, remedy: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = 'PdfProblem';
    this.code = code;
    this.remedy = remedy;
  }
}

export const isPdfProblem = (error: unknown): error is PdfProblem => error instanceof PdfProblem;

const EXPORT_AGAIN = 'Open the file in the program that made it and export the PDF again.';

/** A problem about broken structure: the message says what is broken and where; the remedy is always the same. */
export const problemDamaged = (message: string): PdfProblem =>
  new PdfProblem('pdf-damaged', message, EXPORT_AGAIN);

export const problemStreamDamaged = (message: string, cause?: unknown): PdfProblem =>
  new PdfProblem('pdf-stream-damaged', message, EXPORT_AGAIN, cause);

export const problemTooDeep = (message: string): PdfProblem =>
  new PdfProblem('pdf-nested-too-deep', message, EXPORT_AGAIN);

export const problemTooLarge = (message: string): PdfProblem =>
  new PdfProblem(
    'pdf-too-large',
    message,
    'Simplify or flatten this part of the artwork in the drawing program, then export the PDF again.',
  );
