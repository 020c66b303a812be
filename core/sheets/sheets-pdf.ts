import type { FontLibrary } from '../drawing/font-library.ts';
import { pdfFromDrawings } from '../drawing/pdf-document.ts';
import type { Job } from '../job/schema.ts';
import { VERDICT_WORDS, type Verdict } from '../output/verdict.ts';
import type { Sheet } from './page-frame.ts';

export interface SheetsPdfFacts {
  readonly documentType: string;
  /** 64 hexadecimal digits over the job and everything else the sheets were made from. */
  readonly sha256: string;
  /** Stands in the title too, which viewers show. */
  readonly verdict?: Verdict;
}

/** Sheets as one PDF. The same sheets, date and digest give the same bytes. */
export function sheetsPdf(
  job: Job,
  sheets: readonly Sheet[],
  facts: SheetsPdfFacts,
  fonts: FontLibrary,
): Promise<Uint8Array> {
  const word = facts.verdict ? ` ${VERDICT_WORDS[facts.verdict]}` : '';
  const title = `${facts.documentType} ${job.number}${word}`;
  const { date, preparedBy: author, name: subject } = job;
  return pdfFromDrawings(sheets, { title, author, subject, date, sha256: facts.sha256 }, fonts);
}
