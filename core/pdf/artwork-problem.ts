import type { Problem } from '../measure/result.ts';

/** What can be wrong with an artwork, a page of it, or a cut that was asked for. */
export type ArtworkProblemCode =
  | 'pdf-not-a-pdf'
  | 'pdf-damaged'
  | 'pdf-no-pages'
  | 'pdf-page-missing'
  | 'pdf-password-needed'
  | 'pdf-password-wrong'
  | 'pdf-encryption-unknown'
  | 'pdf-stream-damaged'
  | 'page-box-invalid'
  | 'page-box-empty'
  | 'page-user-unit-invalid'
  | 'cut-window-outside'
  | 'cut-page-too-large'
  | 'cut-page-too-small';

export type ArtworkProblem = Problem<ArtworkProblemCode>;

/** The one remedy for damage inside a file: only the program that made it can put it right. */
export const EXPORT_AGAIN = 'Open the file in the program that made it and export the PDF again.';

export const artworkProblem = (
  code: ArtworkProblemCode,
  message: string,
  remedy: string,
): ArtworkProblem => ({
  code,
  message,
  remedy,
});
