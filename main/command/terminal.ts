/** What a command says and where: results on stdout, progress and problems on stderr. */
import type { Progress } from '../../core/contract/parts.ts';
import { progressText } from '../../core/contract/progress-text.ts';
import { itemAt } from '../../core/measure/present.ts';
import type { Problem } from '../../core/measure/result.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';

export interface Streams {
  readonly stdout: { write(text: string): unknown };
  readonly stderr: { write(text: string): unknown; readonly isTTY?: boolean };
}

const CLEAR_LINE = '\r\u001b[K';

export class Terminal {
  readonly #streams: Streams;
  readonly isJson: boolean;
  /** The line that is shown; empty where none is. */
  #progress = '';

  constructor(streams: Streams, isJson: boolean) {
    this.#streams = streams;
    this.isJson = isJson;
  }

  /** With --json the value, otherwise the lines that people read. */
  printResult(value: unknown, lines: readonly string[]): void {
    this.#clearProgress();
    const text = this.isJson ? JSON.stringify(value, undefined, 2) : lines.join('\n');
    if (text !== '') this.#streams.stdout.write(`${text}\n`);
  }

  /** One line that renews itself, on a terminal only. */
  printProgress(progress: Progress): void {
    if (!this.#streams.stderr.isTTY) return;
    if (progress.done >= progress.total) {
      this.#clearProgress();
      return;
    }
    const howFar = progressText(progress);
    const line = printable(progress.what) + (howFar === '' ? '' : ` (${howFar})`);
    if (line === this.#progress) return;
    this.#streams.stderr.write(`${CLEAR_LINE}${line}`);
    this.#progress = line;
  }

  #clearProgress(): void {
    if (this.#progress !== '') this.#streams.stderr.write(CLEAR_LINE);
    this.#progress = '';
  }

  printProblem(problem: Problem): void {
    this.#clearProgress();
    if (this.isJson) this.#streams.stdout.write(`${JSON.stringify({ problem }, undefined, 2)}\n`);
    else this.#streams.stderr.write(`${printable(problem.message)} ${printable(problem.remedy)}\n`);
  }
}

const VERIFICATION_MARK = {
  'not-verified': 'Not verified',
  verified: 'Verified, released for production',
  failed: 'NOT RELEASED: the verification failed',
} as const;

/** Whether an output is released, and why. */
export function verificationLines({ state, sentences }: OutputVerification): string[] {
  if (state === 'verified') return [`${VERIFICATION_MARK.verified}. ${sentences.map(printable).join(' ')}`];
  return [`${VERIFICATION_MARK[state]}.`, ...sentences.map((sentence) => `  ${printable(sentence)}`)];
}

/** Text from files may hold escape sequences that would move the cursor or worse; they become visible signs. */
export function printable(text: string): string {
  return text.replaceAll(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g, '\ufffd');
}

/** Columns padded to the same width, two spaces between. */
export function tableLines(rows: readonly (readonly string[])[]): string[] {
  const clean = rows.map((row) => row.map(printable));
  const widths = (clean[0] ?? []).map((_, column) =>
    Math.max(...clean.map((row) => itemAt(row, column).length)),
  );
  return clean.map((row) =>
    row
      .map((cell, column) => cell.padEnd(itemAt(widths, column)))
      .join('  ')
      .trimEnd(),
  );
}
