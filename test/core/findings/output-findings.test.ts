import { describe, expect, it } from 'vitest';
import { findingKey } from '../../../core/findings/finding.ts';
import { acknowledgementOf, findingsBlock, isAcknowledged } from '../../../core/findings/layout/findings.ts';
import { findingsAcknowledge } from '../../../core/job/edits/edits.ts';
import type { Job, NoFilmArea, Output } from '../../../core/job/schema.ts';
import { edited, lap, panel, split } from '../job/sample-job.ts';
import { codesOf, findingOf, findingsOf, jobClean, noFilmAreaSample } from './sample-findings.ts';

const withOutput = (output: Partial<Output>, job: Job = jobClean()): Job => ({
  ...job,
  output: { ...job.output, ...output },
});

describe('findings about output', () => {
  it('OUT1 stops pages beyond 14,400 units, 5,080 mm, and offers the choice (ISO 32000-1, Annex C.2) [S]', () => {
    // One panel: 6130 + 60 + 50 of bleed and twice 30 of border are 6300 mm, 1:2 is enough.
    const long = jobClean({ layout: split('horizontal', [lap('j1', 1100)], [panel('p1'), panel('p2')]) });
    const found = findingOf(long, 'page-beyond-pdf-limit');
    expect(found).toMatchObject({ severity: 'stop', where: { sideId: 's1', panelId: 'p2' } });
    expect(found.message).toBe(
      'The film of panel LH-01 is 6300 mm long (2 panels of LH are too long); a PDF page without larger units ends at 5080 mm.',
    );
    expect(found.remedy).toBe(
      'Write the panels at 1:2 or smaller, or in larger units (UserUnit) if the RIP reads them.',
    );
    expect(codesOf(withOutput({ size: { kind: 'user-unit' } }, long))).toEqual([]);
    expect(codesOf(withOutput({ size: { kind: 'reduction', factor: 2 } }, long))).toEqual([]);
    const little = withOutput({ size: { kind: 'reduction', factor: 1.2 } }, long);
    expect(findingOf(little, 'page-beyond-pdf-limit').message).toContain('6300 mm long at 1:1.2');
  });

  it('OUT1 lets a page of exactly 5,080 mm pass', () => {
    const job = (width: number) =>
      jobClean({ artworkRect: { xMm: 31, yMm: 17, widthMm: width / 10, heightMm: 97 }, layout: panel('p1') });
    // 4910 + 60 + 50 + 60 = 5080.
    expect(codesOf(job(4910))).toEqual([]);
    expect(codesOf(job(4911))).toEqual(['page-beyond-pdf-limit']);
  });

  it('OUT2 warns of a reduction that is not a whole number', () => {
    expect(
      findingOf(withOutput({ size: { kind: 'reduction', factor: 3.18 } }), 'reduction-not-whole').message,
    ).toContain('1:3.18');
    expect(codesOf(withOutput({ size: { kind: 'reduction', factor: 4 } }))).toEqual([]);
  });

  it('OUT3 stops margins that leave nothing of the roll, once', () => {
    const job = jobClean();
    const found = { ...job, printer: { ...job.printer, marginLeftMm: 900, marginRightMm: 660 } };
    expect(codesOf(found)).toEqual(['margins-fill-roll']);
  });

  it('warns of a border too narrow for marks, and stops a job without sides', () => {
    expect(codesOf(withOutput({ borderMm: 9 }))).toEqual(['border-too-narrow-for-marks']);
    expect(codesOf(withOutput({ borderMm: 9, marks: false }))).toEqual([]);
    expect(codesOf({ ...jobClean(), sides: [] })).toEqual(['job-without-sides']);
  });
});

describe('findings about openings', () => {
  it.each([
    ['sensor'],
    ['lamp'],
    ['reflector'],
    ['license-plate'],
    ['fuel-flap'],
    ['vent'],
    ['handle'],
    ['emergency-exit'],
  ] as const)('OP1 notes that a %s must stay free (common practice, no source)', (kind) => {
    const found = findingOf(
      jobClean({ noFilmAreas: [noFilmAreaSample({ kind, name: 'Item 7' })] }),
      'no-film-area-act',
    );
    expect(found).toMatchObject({ severity: 'note', where: { itemId: 'o1' } });
    expect(found.message).toContain(`The ${kind.replace('-', ' ')} “Item 7” on side LH must have no film`);
  });

  it.each([['window'], ['wheel-arch'], ['other']] as const)(
    'OP1 has no caution for a %s',
    (kind: NoFilmArea['kind']) => {
      expect(codesOf(jobClean({ noFilmAreas: [noFilmAreaSample({ kind })] }))).toEqual([]);
    },
  );

  it('warns of an item that lies wholly outside its side', () => {
    const rect = { xMm: 6130, yMm: 17, widthMm: 40, heightMm: 30 };
    const job = jobClean({
      noFilmAreas: [noFilmAreaSample({ rect })],
      noSeamAreas: [{ id: 'k1', name: 'Logo', rect: { ...rect, xMm: 6129 } }],
      bodyLines: [{ id: 'b1', name: 'Sill', kind: 'crease', direction: 'horizontal', atMm: 2271 }],
    });
    const found = findingsOf(job);
    expect(found.map(({ code, where }) => [code, where.itemId])).toEqual([
      ['item-outside-side', 'o1'],
      ['item-outside-side', 'b1'],
    ]);
  });
});

describe('acknowledging findings', () => {
  const narrow = (firstMm: number, secondMm: number) =>
    jobClean({
      layout: split(
        'vertical',
        [lap('j1', 1290, { firstMm, secondMm }), lap('j2', 2710)],
        [panel('p1'), panel('p2'), split('horizontal', [lap('j3', 890)], [panel('p3'), panel('p4')])],
      ),
    });

  it('FND2 stops and open warnings block; an acknowledged warning and a note do not', () => {
    const job = narrow(4, 7);
    const findings = findingsOf(job);
    expect(findingsBlock(job, findings).map(({ code }) => code)).toEqual(['lap-narrow']);
    const accepted = edited(findingsAcknowledge(job, [acknowledgementOf(findings[0]!, 'Ida', 'agreed')]));
    expect(findingsBlock(accepted, findingsOf(accepted))).toEqual([]);
  });

  it('FND2 a stop cannot be acknowledged away', () => {
    const job = narrow(0, 0);
    const stop = findingOf(job, 'lap-zero');
    const accepted = edited(findingsAcknowledge(job, [acknowledgementOf(stop, 'Ida', '')]));
    expect(findingsBlock(accepted, findingsOf(accepted)).map(({ code }) => code)).toEqual(['lap-zero']);
  });

  it('an acknowledgement is for one code at one place', () => {
    const found = findingOf(narrow(4, 7), 'lap-narrow');
    expect(findingKey(found)).toBe('lap-narrow/s1//j1///');
    const job = edited(findingsAcknowledge(narrow(4, 7), [acknowledgementOf(found, 'Ida', '')]));
    expect(isAcknowledged(job, found)).toBe(true);
    expect(isAcknowledged(job, { ...found, where: { ...found.where, seamId: 'j2' } })).toBe(false);
    expect(isAcknowledged(job, { ...found, code: 'lap-past-neighbor' })).toBe(false);
  });

  it('FND4 an acknowledgement lapses when the figure that was accepted changes', () => {
    const job = edited(
      findingsAcknowledge(narrow(4, 7), [
        acknowledgementOf(findingOf(narrow(4, 7), 'lap-narrow'), 'Ida', ''),
      ]),
    );
    const tighter = { ...narrow(1, 2), acknowledgements: job.acknowledgements };
    expect(findingsBlock(tighter, findingsOf(tighter)).map(({ code }) => code)).toEqual(['lap-narrow']);
    const same = { ...narrow(7, 4), acknowledgements: job.acknowledgements };
    expect(findingsBlock(same, findingsOf(same))).toEqual([]);
  });

  it('findings come most serious first', () => {
    const job = jobClean({
      noFilmAreas: [noFilmAreaSample({ kind: 'lamp' })],
      bleed: { top: 0, right: 60, bottom: 70, left: 50 },
      layout: split('vertical', [lap('j1', 1290, { firstMm: 0, secondMm: 0 })], [panel('p1'), panel('p2')]),
    });
    const ranks = findingsOf(job).map(({ severity }) => ['stop', 'warn', 'note'].indexOf(severity));
    expect(new Set(ranks).size).toBe(3);
    expect(ranks).toEqual(ranks.toSorted((a, b) => a - b));
  });
});
