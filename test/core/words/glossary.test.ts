import { describe, expect, it } from 'vitest';
import { termOfFinding } from '../../../core/words/finding-terms.ts';
import {
  GLOSSARY,
  glossaryEntry,
  glossaryFound,
  glossaryText,
  isTermId,
  termOfLabel,
} from '../../../core/words/glossary.ts';

/** What somebody who is new to the trade meets on screens and sheets. */
const MUST = [
  ...[
    'Bleed',
    'Border',
    'Overlap',
    'Printed overlap',
    'Trim-off',
    'Finished overlap',
    'Seam',
    'Overlap seam',
  ],
  ...['Butt seam', 'Body-gap seam', 'Panel', 'Panel layout', 'Side', 'Scale', 'Artwork', 'Finished size'],
  ...[
    'Visible size',
    'Trimmed size',
    'Size on roll',
    'Roll width',
    'Nesting',
    'No-seam area',
    'No-film area',
  ],
  ...['Difficult ground', 'Body line', 'Install map', 'Install order', 'Ticket', 'Output', 'Reprint'],
  ...[
    'Verification',
    'Finding',
    'Acknowledgement',
    'Override',
    'Laminate',
    'Cast film',
    'Drying time',
    'RIP',
  ],
  ...['Ink coverage', 'Feed error', 'Customer proof', 'Color target', 'Lot number', 'Perforated window film'],
];

describe('the glossary', () => {
  it('has every term that a newcomer meets, each once', () => {
    const terms = GLOSSARY.map(({ term }) => term);
    expect(MUST.filter((term) => !terms.includes(term))).toEqual([]);
    expect(new Set(terms).size).toBe(terms.length);
  });

  it('explains each in one to three sentences that end, and leads to other entries that are there', () => {
    for (const entry of GLOSSARY) {
      for (const unit of ['mm', 'in'] as const) {
        const text = glossaryText(entry, unit);
        expect(text, entry.term).toMatch(/^[A-Z].*\.$/);
        expect(text.split(/[.!?] (?=[A-Z])/).length, entry.term).toBeLessThanOrEqual(4);
      }
      for (const id of entry.see) expect(isTermId(id), `${entry.term} → ${id}`).toBe(true);
    }
  });

  it('has lengths in the units of the shop', () => {
    const bleed = glossaryEntry('bleed');
    expect(glossaryText(bleed, 'in')).toMatch(/ in\b/);
    expect(glossaryText(bleed, 'mm')).toMatch(/ mm\b/);
    for (const entry of GLOSSARY) {
      expect(glossaryText(entry, 'in'), entry.term).not.toMatch(/\d (?:mm|cm|m)\b/);
      expect(glossaryText(entry, 'mm'), entry.term).not.toMatch(/\d (?:in|ft)\b/);
    }
  });

  it('leads each label to one entry', () => {
    const labels = GLOSSARY.flatMap(({ term, labels: more }) => [term, ...more]);
    const twice = labels.filter(
      (label, at) => labels.findIndex((other) => other.toLowerCase() === label.toLowerCase()) !== at,
    );
    expect(twice).toEqual([]);
    expect(termOfLabel('Least overlap')).toBe('overlap');
    expect(termOfLabel('SIZE ON ROLL')).toBe('size-on-roll');
    expect(termOfLabel('Customer')).toBeUndefined();
  });

  it('finds terms first and explanations after them', () => {
    const [first] = glossaryFound('finished over', 'in');
    expect(first?.term).toBe('Finished overlap');
    const cut = glossaryFound('cutting tape', 'in').map(({ term }) => term);
    expect(cut).toEqual(['Trim-off']);
    expect(glossaryFound('no such word', 'in')).toEqual([]);
    expect(glossaryFound('', 'mm')).toHaveLength(GLOSSARY.length);
  });

  it('leads findings to what they are about', () => {
    expect(termOfFinding('seam-through-lettering')).toBe('no-seam-area');
    expect(termOfFinding('seam-near-rivet-row')).toBe('body-line');
    expect(termOfFinding('lap-narrow')).toBe('overlap');
    expect(termOfFinding('bleed-short')).toBe('bleed');
    expect(termOfFinding('page-rotated')).toBeUndefined();
  });
});
