import type { FontLibrary } from '../drawing/font-library.ts';
import { type Deflate, pdfFromDrawings } from '../drawing/pdf-document.ts';
import type { Job } from '../job/schema.ts';
import type { Verdict } from '../output/verdict.ts';
import type { Sheet } from './page-frame.ts';
import { verdictStamp } from './verdict-stamp.ts';

export interface SheetsPdfFacts {
  readonly documentType: string;
  /** 64 hexadecimal digits, a hash of the job and all other inputs of the sheets. */
  readonly sha256: string;
  /** Verification status for the stamps and the title, which viewers show. */
  readonly verdict?: Verdict;
}

/** Sheets as one PDF. The same sheets, date, digest and compression give the same bytes. */
export function sheetsPdf(
  job: Job,
  sheets: readonly Sheet[],
  facts: SheetsPdfFacts,
  fonts: FontLibrary,
  deflate: Deflate,
): Promise<Uint8Array> {
  const title = `${facts.documentType} ${job.number}`;
  const { date, preparedBy: author, name: subject } = job;
  const stamp = facts.verdict && verdictStamp(fonts, facts.verdict);
  return pdfFromDrawings(
    sheets,
    { title, author, subject, date, sha256: facts.sha256, stamp },
    fonts,
    deflate,
  );
}
