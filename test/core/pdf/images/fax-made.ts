import {
  type BitCode,
  BLACK_RUNS,
  type RunCodes,
  WHITE_RUNS,
} from '../../../../core/pdf/images/ccitt-codes.ts';
import { ChangeLine } from '../../../../core/pdf/images/ccitt-line.ts';
import { Group4Writer } from '../../../../core/pdf/images/ccitt-writer.ts';
import { random } from './jpeg-made.ts';

/** Lines of W and B. */
export type Picture = readonly string[];

export function pictureMade(width: number, height: number, seed: number): Picture {
  const next = random(seed);
  const lines: string[] = [];
  for (let y = 0; y < height; y++) {
    let line = '';
    let color = next() < 0.5 ? 'W' : 'B';
    while (line.length < width) {
      line += color.repeat(1 + Math.floor(next() ** 3 * width));
      color = color === 'W' ? 'B' : 'W';
    }
    // Lines like the one above make use of the vertical and pass modes.
    const above = lines[y - 1];
    lines.push(above !== undefined && next() < 0.6 ? shifted(above, next) : line.slice(0, width));
  }
  return lines;
}

const shifted = (line: string, next: () => number): string =>
  (next() < 0.5 ? line.slice(1) + line[0]! : line.at(-1)! + line.slice(0, -1)).replace(
    /WBW/,
    next() < 0.3 ? 'WWW' : 'WBW',
  );

function lineFrom(text: string): ChangeLine {
  const line = new ChangeLine(text.length);
  for (let i = 0; i < text.length; i++) if (text[i] !== (i === 0 ? 'W' : text[i - 1])) line.add(i);
  line.close();
  return line;
}

/** The columns from `left`, by Group 4. */
export function group4(picture: Picture, left: number, width: number): Uint8Array {
  const writer = new Group4Writer(width);
  for (const line of picture) writer.writeCut(lineFrom(line), left);
  writer.finish();
  return writer.output.take();
}

export const codeText = ({ bits: code, length }: BitCode): string => code.toString(2).padStart(length, '0');
export const EOL = '000000000001';

/** Group 3, one-dimensional, from T.4, 4.1: runs in turn, white first. */
export function lineCoded(line: string): string {
  const runs = line.match(/W+|B+/g) ?? [];
  const all = line.startsWith('B') ? ['', ...runs] : runs;
  return all
    .map((run, i) => {
      const { terminating, makeUp }: RunCodes = i % 2 === 0 ? WHITE_RUNS : BLACK_RUNS;
      const long = run.length > 63 ? codeText(makeUp[run.length >> 6]!) : '';
      return long + codeText(terminating[run.length & 63]!);
    })
    .join('');
}
