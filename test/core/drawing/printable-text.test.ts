import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { directedTexts, printableText } from '../../../core/drawing/printable-text.ts';
import { styleOf, textFitted, textWrapped } from '../../../core/drawing/text-block.ts';
import { testFonts } from '../sheets/fixture.ts';

const fonts = testFonts();
const all = () => true;

/** What stands on paper from left to right, each right-to-left stretch turned round as a font lays it. */
const onPaper = (line: string): string =>
  directedTexts(line)
    .map(({ text, isRightToLeft }) => (isRightToLeft ? [...text].reverse().join('') : text))
    .join('');

describe('text of people', () => {
  it('makes one line of what a clipboard brings', () => {
    expect(printableText('a\tb\r\n c\u0000d\u2028e', all).text).toBe('a b c d e');
    expect(printableText('soft\u00adhyphen\u200b\u202ezero\ufeff', all).text).toBe('softhyphenzero');
    expect(printableText('e\u0301', all).text).toBe('é');
  });

  it('replaces what has no glyph, is private or half a pair, and names it', () => {
    const { text, missing } = printableText('A\ue000\ud800B\u{1F9A4}', (code) => code < 0x3000);
    expect(text).toBe('A□□B□');
    expect(missing).toHaveLength(3);
  });

  it('keeps at most two marks on a letter', () => {
    expect([...printableText(`q${'\u0316'.repeat(40)}`, all).text]).toHaveLength(3);
  });

  // Expected strings follow UAX #9, rules N0 to N2 and L2, L4 for one level.
  it('lays right-to-left text in its own direction, with brackets around what they hold', () => {
    expect(onPaper('abc')).toBe('abc');
    expect(onPaper('אבג')).toBe('גבא');
    expect(onPaper('LH אב 12 cd')).toBe('LH בא 12 cd');
    expect(onPaper('אב (12) גד')).toBe('דג (12) בא');
    expect(onPaper('אב (left) · 6')).toBe('6 · (left) בא');
    expect(onPaper('x (אב) y')).toBe('x (בא) y');
  });

  it('never makes a line wider than asked, whatever the text', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 400 }),
        fc.double({ min: 8, max: 90, noNaN: true }),
        (text, widthMm) => {
          const style = styleOf('bold', 4);
          for (const line of textWrapped(fonts, text, style, widthMm, 5).lines) {
            expect(fonts.width(line, 'bold', 4)).toBeLessThanOrEqual(widthMm + 1e-6);
          }
          const fitted = textFitted(fonts, text, style, widthMm, 2);
          if (fitted) {
            expect(fonts.width(fitted.text, 'bold', fitted.style.sizeMm)).toBeLessThanOrEqual(widthMm + 1e-6);
          }
        },
      ),
      { numRuns: 150, seed: 31 },
    );
  });

  it('loses nothing when it wraps without a limit', () => {
    const text = 'Alder County Library, Outreach: Bücher für unterwegs '.repeat(20).trim();
    const { lines, isCut } = textWrapped(fonts, text, styleOf('regular', 3.5), 41);
    expect(isCut).toBe(false);
    expect(lines.join(' ')).toBe(text);
    expect(textWrapped(fonts, 'x'.repeat(5000), styleOf('regular', 3.5), 41).lines.join('')).toBe(
      'x'.repeat(5000),
    );
  });
});
