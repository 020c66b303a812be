/** The standard streams of a terminal program, and its uncaught errors: users read a sentence, never a stack trace. */

import { firstOf } from '../../core/measure/present.ts';
import { fileProblem } from './file-problem.ts';

/** Set it to show the stack trace too, for developers. */
const TRACE_VARIABLE = 'PANELWRIGHT_TRACE';

/** The sentence for an unexpected error. */
export function errorSentence(error: unknown): string {
  const problem = fileProblem(error, 'A file or folder');
  if (problem) return `${problem.message} ${problem.remedy}`;
  const said = error instanceof Error ? error.message : String(error);
  const trace = process.env[TRACE_VARIABLE] && error instanceof Error ? `\n${error.stack}` : '';
  const first = firstOf(said.split('\n', 1)).slice(0, 300);
  return `Something went wrong inside Panelwright: ${first}. To report it, start the same command with ${TRACE_VARIABLE}=1.${trace}`;
}

/**
 * A reader of only the first lines, such as `head`, closes the pipe: from then on nothing is printed, and the work
 * continues. If output cannot be written for another reason, such as a full disk, the program ends with `failed`.
 */
export function setUpStandardStreams(
  of: NodeJS.Process,
  failed: { readonly files: number; readonly bug: number },
): void {
  for (const stream of [of.stdout, of.stderr]) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EPIPE') return;
      of.stderr.write(`The output of the command could not be written (${error.code ?? error.message}).\n`);
      of.exit(failed.files);
    });
  }
  of.on('uncaughtException', (error) => {
    of.stderr.write(`${errorSentence(error)}\n`);
    of.exit(failed.bug);
  });
}
