import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { describe, expect, it } from 'vitest';
import { documentStamped } from '../../../core/drawing/document-stamp.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { STAMP_WORDS, VERDICT_WORDS, type Verdict } from '../../../core/output/verdict.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { PACKING_LIST, packingList } from '../../../core/sheets/packing-list.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { PANEL_LABELS, panelLabels } from '../../../core/sheets/panel-labels.ts';
import { sheetsPdf } from '../../../core/sheets/sheets-pdf.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { bookmobileJob, testFonts } from '../sheets/fixture.ts';

const fonts = testFonts();
const VERDICTS = Object.keys(VERDICT_WORDS) as Verdict[];
/** The name of the job holds a word and its digits hold a title’s end: neither is taken for the stamp. */
const job = bookmobileJob({ name: 'VERIFIED /Title <FEFF> /Word1 Do', preparedBy: 'R. NOT VERIFIED' });
const SHEETS: readonly [string, (hasStamp: boolean) => readonly Sheet[]][] = [
  [PACKING_LIST, (hasStamp) => packingList(job, jobLayout(job), { fonts, hasStamp })],
  [
    PANEL_LABELS,
    (hasStamp) => panelLabels(job, jobLayout(job), { fonts, sheet: LABEL_SHEETS['letter-2x5'], hasStamp }),
  ],
];

const pdf = (documentType: string, sheets: readonly Sheet[], verdict?: Verdict) =>
  sheetsPdf(
    job,
    sheets,
    { documentType, sha256: '8c'.repeat(32), ...(verdict && { verdict }) },
    fonts,
    deflateSync,
  );

async function readBack(bytes: Uint8Array) {
  const doc = await getDocument({ data: bytes.slice(), useSystemFonts: false }).promise;
  const { info } = await doc.getMetadata();
  const texts: string[] = [];
  for (let number = 1; number <= doc.numPages; number += 1) {
    const { items } = await (await doc.getPage(number)).getTextContent();
    texts.push(...items.map((item) => ('str' in item ? item.str : '')));
  }
  const words = texts.filter((text) => STAMP_WORDS.includes(text));
  return { title: (info as { Title: string }).Title, words: [...new Set(words)], count: words.length };
}

describe('a stamped document', () => {
  for (const [documentType, sheets] of SHEETS) {
    it(`gets the bytes that it would have if it had been drawn with the word: ${documentType}`, async () => {
      const drawn = new Map<Verdict, Uint8Array>();
      for (const verdict of VERDICTS) drawn.set(verdict, await pdf(documentType, sheets(true), verdict));
      for (const from of VERDICTS) {
        for (const to of VERDICTS) {
          const stamped = documentStamped(drawn.get(from)!, STAMP_WORDS, VERDICT_WORDS[to]);
          expect(stamped).toEqual(drawn.get(to));
        }
      }
      expect(new Set([...drawn.values()].map(({ length }) => length)).size).toBe(1);
      expect(drawn.get('verified')).not.toEqual(drawn.get('failed'));
    });

    it(`says one word, in its title and on each page: ${documentType}`, async () => {
      const bytes = await pdf(documentType, sheets(true), 'not-verified');
      for (const verdict of VERDICTS) {
        const word = VERDICT_WORDS[verdict];
        const read = await readBack(documentStamped(bytes, STAMP_WORDS, word)!);
        expect(read).toMatchObject({ title: `${documentType} ${job.number} ${word}`, words: [word] });
        const stamps = sheets(true).flatMap(({ items }) => items.filter((item) => item.kind === 'stamp'));
        // A sheet that is not released says so across each page, too.
        const shown = stamps.filter(({ isAcross }) => verdict === 'failed' || !isAcross);
        expect(stamps.some(({ isAcross }) => isAcross)).toBe(true);
        expect(read.count).toBe(shown.length);
        expect(stamps.length).toBeGreaterThan(0);
      }
    });
  }

  it('is told from one that has no stamp, and from a file of another program', async () => {
    const [documentType, sheets] = SHEETS[0]!;
    const bytes = await pdf(documentType, sheets(false));
    expect(documentStamped(bytes, STAMP_WORDS, 'VERIFIED')).toBeUndefined();
    expect(documentStamped(new Uint8Array(9), STAMP_WORDS, 'VERIFIED')).toBeUndefined();
  });
});

describeWithTools(['qpdf', 'mutool', 'pdftotext'], 'a stamped document, outside', () => {
  it('is whole, and says its word alone', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'stamps-'));
    for (const [documentType, sheets] of SHEETS) {
      const bytes = await pdf(documentType, sheets(true), 'not-verified');
      for (const word of STAMP_WORDS) {
        const file = join(folder, `${documentType} ${word}.pdf`);
        writeFileSync(file, documentStamped(bytes, STAMP_WORDS, word)!);
        runTool('qpdf', ['--check', file]);
        for (const text of [
          runTool('mutool', ['draw', '-q', '-F', 'txt', file]),
          runTool('pdftotext', [file, '-']),
        ]) {
          const said = text.toString('utf8').match(/^(NOT VERIFIED|VERIFIED|NOT RELEASED)$/gm);
          expect(new Set(said)).toEqual(new Set([word]));
        }
      }
    }
  });
});
