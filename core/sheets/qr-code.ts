import { correction, generate } from 'lean-qr';
import type { RectsItem } from '../drawing/drawing.ts';
import type { Job } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type OutputMark, outputCodeText } from '../output/output-mark.ts';

/** A QR code (ISO/IEC 18004) as dark and light modules, without its quiet zone. */
export interface QrCode {
  readonly text: string;
  /** Modules along one side: 17 + 4 × version. */
  readonly size: number;
  /** Row by row from the top left. */
  readonly dark: readonly boolean[];
}

/** White modules that a reader needs on every side (ISO/IEC 18004, 9.1). */
export const QR_QUIET_MODULES = 4;

/** A longer text makes modules too small for a phone at label size. */
const MAX_QR_BYTES = 90;

/** Cache of recent codes: pages are laid out in several ways before one is kept, each with the same code. */
const made = new Map<string, QrCode>();
const MAX_MADE = 256;

/** Error correction M or better, as the size allows: 15 % of the code may be scratched or dirty. */
export function qrCode(text: string): QrCode {
  const known = made.get(text);
  if (known) return known;
  const code = encodedQrCode(text);
  made.set(text, code);
  const [oldest] = made.keys();
  if (made.size > MAX_MADE && oldest !== undefined) made.delete(oldest);
  return code;
}

function encodedQrCode(text: string): QrCode {
  const code = generate(text, { minCorrectionLevel: correction.M });
  const { size } = code;
  return {
    text,
    size,
    dark: Array.from({ length: size * size }, (_, at) => code.get(at % size, Math.floor(at / size))),
  };
}

/**
 * The job in a code: its number as the shop writes it, or the job's id where the number is not a short plain text. `Job
 * ACL-2611`
 */
export const jobCodeText = (job: Job): string => `Job ${isShortPlain(job.number) ? job.number : job.id}`;

/** Job, panel, vehicle where there are several, and output: `Job ACL-2611 Panel LH-03 Unit 12 Output 7`. */
export const panelCodeText = (
  job: Job,
  panel: Pick<Panel, 'label'>,
  output?: OutputMark,
  unitNumber?: string,
): string =>
  [
    `${jobCodeText(job)} Panel ${panel.label}`,
    // A long name is printed beside the code.
    ...(unitNumber !== undefined && isShortPlain(unitNumber) ? [`Unit ${unitNumber}`] : []),
    ...(output ? [outputCodeText(output)] : []),
  ].join(' ');

/** Job, panel and the first digits of the content hash, on the film itself: `Job ACL-2611 Panel LH-03 5f3a90c1`. */
export const filmCodeText = (job: Job, panel: Pick<Panel, 'label'>, shown: string): string =>
  `${panelCodeText(job, panel)} ${shown}`;

/** Job, output, sheet and layout: `Job ACL-2611 Output 7 Install map 2 of 9 Layout 3f9ac1`. */
export const sheetCodeText = (
  job: Job,
  documentType: string,
  sheet: string,
  { revision, output }: { readonly revision?: string | undefined; readonly output?: OutputMark | undefined },
): string =>
  [
    jobCodeText(job),
    ...(output ? [outputCodeText(output)] : []),
    `${documentType} ${sheet}`,
    ...(revision ? [`Layout ${revision}`] : []),
  ].join(' ');

const isShortPlain = (text: string): boolean =>
  /^[\x20-\x7e]+$/.test(text) && text.length <= MAX_QR_BYTES / 2;

/** Length of a module when the code with its quiet zone fills `sizeMm`. */
export const qrModuleMm = (code: QrCode, sizeMm: Mm): Mm => sizeMm / (code.size + 2 * QR_QUIET_MODULES);

/** The dark modules of a code that fills a square with its quiet zone; dark neighbors in a row are one rectangle. */
export function qrItem(code: QrCode, xMm: Mm, yMm: Mm, sizeMm: Mm, tag: string): RectsItem {
  const module = qrModuleMm(code, sizeMm);
  const rects: Rect[] = [];
  for (let row = 0; row < code.size; row += 1) {
    let column = 0;
    while (column < code.size) {
      const start = column;
      while (column < code.size && code.dark[row * code.size + column]) column += 1;
      if (column > start) {
        rects.push({
          x: xMm + (start + QR_QUIET_MODULES) * module,
          y: yMm + (row + QR_QUIET_MODULES) * module,
          width: (column - start) * module,
          height: module,
        });
      }
      column += 1;
    }
  }
  return { kind: 'rects', tag, rects, fill: { black: 1 } };
}
