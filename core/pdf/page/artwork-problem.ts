import { type Problem, type Result, resultProblem } from '../../measure/result.ts';
import { isPdfProblem, type PdfProblemCode, problemTooDeep } from '../file/pdf-problem.ts';

/** What can be wrong with an artwork, one of its pages, or a requested cut. */
export type ArtworkProblemCode =
  | PdfProblemCode
  | 'page-box-invalid'
  | 'page-box-empty'
  | 'page-user-unit-invalid'
  | 'cut-window-outside'
  | 'cut-page-too-large'
  | 'cut-page-too-small'
  | 'pdf-not-annotated';

export type ArtworkProblem = Problem<ArtworkProblemCode>;

/** The remedy for damage inside a file: only the program that made it can repair it. */
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

/** Any read of a file may find damage and throw; here the error becomes a value. Bugs are still thrown. */
export async function withPdfProblems<T>(
  read: () => Promise<Result<T, ArtworkProblem>>,
): Promise<Result<T, ArtworkProblem>> {
  try {
    return await read();
  } catch (error) {
    const problem = isStackExhausted(error) ? tooDeep : error;
    if (!isPdfProblem(problem)) throw error;
    const { code, message, remedy } = problem;
    return resultProblem({ code, message, remedy });
  }
}

/**
 * Nesting is limited where files are read; a name of several megabytes, for example, can still exhaust the stack inside
 * the library.
 */
const isStackExhausted = (error: unknown): boolean =>
  error instanceof RangeError && /call stack/i.test(error.message);

const tooDeep = problemTooDeep(
  'Something in the PDF is nested too deep, or has a name too long, to be read.',
);
