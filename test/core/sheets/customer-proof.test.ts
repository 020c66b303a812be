import { describe, expect, it } from 'vitest';
import { findingKey } from '../../../core/findings/finding.ts';
import { approvalFindings } from '../../../core/findings/layout/approval-findings.ts';
import { isAcknowledged } from '../../../core/findings/layout/findings.ts';
import { approvalSet, artworkCorrected, artworkSet, jobSet } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { customerProof, type ProofFacts } from '../../../core/sheets/customer-proof.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { sheetFonts } from '../../../main/tasks/output-sheets.ts';
import { itemBounds } from '../../support/item-bounds.ts';
import { smallJob } from '../../support/small-job.ts';
import { isOutside, overlappingTexts, textsOf } from './sheet-checks.ts';

const artwork = {
  fileName: 'van.pdf',
  sha256: '3f2a91c077bed410'.repeat(4),
  sizeBytes: 9,
  box: 'trim',
} as const;
const job: Job = {
  ...smallJob({ artwork }),
  film: { ...smallJob().film, name: 'Cast film', finish: 'satin' },
};
const facts: ProofFacts = {
  spots: ['Alder Red 187'],
  readBack: [
    { sideId: 'left', figures: ['555-0142'], words: ['Hop in. Read on.'], unread: 3, isLookedFor: true },
  ],
};
const drawn = (of: Job, known: ProofFacts | undefined = facts) =>
  customerProof(of, jobLayout(of), { fonts: sheetFonts(), revision: 'ab12cd', facts: known });
const words = (of: Job, known?: ProofFacts) =>
  drawn(of, known)
    .flatMap((sheet) => textsOf(sheet).map(({ text }) => text))
    .join('\n');

describe('the customer proof', () => {
  it('shows sides to one scale with their sizes, and names artwork, layout, film and inks', () => {
    const texts = words(job);
    for (const text of [
      '3100 mm',
      '1300 mm',
      'SCALE 1:10',
      'van.pdf',
      '3f2a 91c0 77be d410',
      'ab12cd',
      'Cast film, satin',
      'Alder Red 187',
    ])
      expect(texts).toContain(text);
    expect(words({ ...job, displayUnit: 'in' })).toContain('122 1/16 in');
    const named = { ...job, film: { ...job.film, name: 'Cast film, Satin' } };
    expect(words(named)).not.toContain('Satin, satin');
    const seams = (of: Job) =>
      drawn(of).flatMap(({ items }) => items.filter(({ tag }) => tag === 'proof seam'));
    expect(seams(job)).toEqual([]);
    // Its one seam, white below black.
    expect(seams({ ...job, sheets: { proof: { seams: true } } })).toHaveLength(2);
  });

  it('says that there is nothing to sign for without artwork', () => {
    const { artwork: _, ...without } = job;
    const sheets = customerProof(without, jobLayout(without), { fonts: sheetFonts() });
    const texts = sheets.flatMap((sheet) => textsOf(sheet).map(({ text }) => text));
    expect(texts.join(' ')).toContain('there is nothing to sign for');
  });

  it('keeps its texts apart and within the margins, on every paper', () => {
    for (const paper of ['A4', 'A3', 'Letter', 'Tabloid'] as const) {
      const long = {
        ...facts.readBack[0]!,
        words: Array.from({ length: 60 }, (_, n) => `Line ${n} of many words`),
      };
      for (const sheet of customerProof(job, jobLayout(job), {
        fonts: sheetFonts(),
        sheet: paper,
        facts: { ...facts, readBack: [long] },
      })) {
        expect(overlappingTexts(sheet), paper).toEqual([]);
        const { widthMm, heightMm, marginMm } = SHEET_SIZES[paper];
        const page = {
          x: marginMm,
          y: marginMm,
          width: widthMm - 2 * marginMm,
          height: heightMm - 2 * marginMm,
        };
        for (const item of textsOf(sheet)) expect(isOutside(itemBounds(item), page), item.text).toBe(false);
      }
    }
  });

  it('lists lettering to be read back, figures first, and says what cannot be read', () => {
    const texts = words(job);
    expect(texts.indexOf('555-0142')).toBeGreaterThan(0);
    expect(texts.indexOf('555-0142')).toBeLessThan(texts.indexOf('Hop in. Read on.'));
    expect(texts.replaceAll('\n', ' ')).toContain(
      '3 places on this side look like lettering that is outlines or pixels',
    );
  });
});

describe('the signature under a proof', () => {
  const signed = (of: Job, artworkSha256: string): Job => {
    const approval = { by: 'Ann Lee', on: '2026-11-20', artworkSha256, note: '' };
    const edited = approvalSet(of, { approval });
    if (!edited.ok) throw new Error(edited.problem.message);
    return edited.value;
  };
  const wanted: Job = { ...job, sheets: { proof: { isSignatureNeeded: true } } };
  const said = (of: Job) => approvalFindings(of).map(({ code, severity }) => [code, severity]);

  it('CPF5 counts the revisions of the artwork, unless the shop counts otherwise', () => {
    expect(words(job)).toMatch(/Revision\n1\n/);
    const other = { ...artwork, sha256: 'ab'.repeat(32) };
    const corrected = artworkCorrected(job, { reference: other, moves: [] });
    if (!corrected.ok) throw new Error(corrected.problem.message);
    expect(words(corrected.value)).toMatch(/Revision\n2\n/);
    const same = artworkSet(corrected.value, { reference: other });
    expect(same.ok && same.value.proofRevision).toBe(2);
    const first = artworkSet(smallJob({ artwork: undefined }), { reference: other });
    expect(first.ok && 'proofRevision' in first.value).toBe(false);
    const counted = jobSet(corrected.value, { change: { proofRevision: 7 } });
    expect(counted.ok && words(counted.value)).toMatch(/Revision\n7\n/);
  });

  it('is kept with the job for its artwork, and can be taken away', () => {
    const entered = signed(job, artwork.sha256);
    expect(entered.approval).toEqual({
      by: 'Ann Lee',
      on: '2026-11-20',
      artworkSha256: artwork.sha256,
      note: '',
    });
    const cleared = approvalSet(entered, { approval: null });
    expect(cleared.ok && 'approval' in cleared.value).toBe(false);
  });

  it('CPF4 is asked for only where the shop wants it, and only until it is there', () => {
    expect(said(job)).toEqual([]);
    expect(said(wanted)).toEqual([['proof-not-signed', 'warn']]);
    expect(said(signed(wanted, artwork.sha256))).toEqual([]);
    const { artwork: _, ...without } = wanted;
    expect(said(without)).toEqual([]);
  });

  it('CPF4 does not hold for other artwork, and neither does an acknowledgement', () => {
    const other = 'c'.repeat(64);
    expect(said(signed(wanted, other))).toEqual([['proof-of-other-artwork', 'warn']]);
    expect(said(signed(job, other))).toEqual([['proof-of-other-artwork', 'note']]);
    expect(approvalFindings(signed(wanted, other))[0]!.message).toContain('Ann Lee');
    const [found] = approvalFindings(wanted);
    const acknowledgements = [{ finding: findingKey(found!), by: 'Prepress', note: 'by phone' }];
    const accepted: Job = { ...wanted, acknowledgements };
    expect(isAcknowledged(accepted, found!)).toBe(true);
    const corrected: Job = { ...accepted, artwork: { ...artwork, sha256: 'd'.repeat(64) } };
    expect(isAcknowledged(corrected, approvalFindings(corrected)[0]!)).toBe(false);
  });
});
