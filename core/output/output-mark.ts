import { z } from 'zod';
import type { DateOrder } from '../shop/date-order.ts';
import { dateText } from '../shop/date-text.ts';

/** The output that files belong to, as shown on sheets, labels, codes and in the manifest. */
export const OutputMark = z.strictObject({
  number: z.number().int().positive(),
  reprint: z
    .strictObject({
      /** The output whose panels are reprinted. */
      of: z.number().int().positive(),
      reason: z.string(),
      /** In a job with several vehicles: the vehicle of the reprint. */
      unitNumber: z.string().optional(),
      /** Day of the reprint, `2026-11-27`. */
      date: z.string().regex(/^\d{4}-\d{2}-\d{2}$/),
    })
    .optional(),
});
export type OutputMark = z.infer<typeof OutputMark>;

/** In a title block: `7`, or `8 · REPRINT of 7`. */
export const outputText = ({ number, reprint }: OutputMark): string =>
  reprint ? `${number} · REPRINT of ${reprint.of}` : String(number);

/** `Output 7`, or `REPRINT Output 8 of 7 2026-11-27`: short enough for a code. */
export function outputCodeText({ number, reprint }: OutputMark): string {
  if (!reprint) return `Output ${number}`;
  const reason = plainText(reprint.reason).slice(0, MAX_CODE_REASON).trim();
  return `REPRINT Output ${number} of ${reprint.of} ${reprint.date} ${reason}`.trim();
}

/** A longer reason would make the modules of the code too small for a phone; the sheet shows the whole reason. */
const MAX_CODE_REASON = 24;

/**
 * `REPRINT · Output 8, of Output 7 · 2026-11-27`, or `REPRINT for BM-07 · …`: the reason follows where there is room for it.
 * Keeps RP1.
 */
export function reprintText({ number, reprint }: OutputMark, order: DateOrder | undefined): string {
  if (!reprint) return '';
  const whom = reprint.unitNumber === undefined ? '' : ` for ${reprint.unitNumber}`;
  return `REPRINT${whom} · Output ${number}, of Output ${reprint.of} · ${dateText(reprint.date, order)}`;
}

const MAX_FOLDER_REASON = 32;

/** Name of the folder of an output: `output-7`, or `output-8_REPRINT-of-7_2026-11-27_torn-at-the-door`. */
export function outputFolderName({ number, reprint }: OutputMark): string {
  if (!reprint) return `output-${number}`;
  const reason = plainText(reprint.reason)
    .replaceAll(/[^A-Za-z0-9]+/g, '-')
    .slice(0, MAX_FOLDER_REASON)
    .replaceAll(/^-+|-+$/g, '');
  return [`output-${number}`, `REPRINT-of-${reprint.of}`, reprint.date, reason].filter(Boolean).join('_');
}

/** Only letters that every code and file system accepts. */
const plainText = (text: string): string =>
  text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/[^\x20-\x7e]+/g, ' ')
    .replaceAll(/ +/g, ' ')
    .trim();
