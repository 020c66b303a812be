import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { listText } from '../../measure/list-text.ts';
import { type PageCheck, placeOnPage } from '../check-context.ts';
import type { ScannedFont } from '../scan/schema.ts';

/** Fonts that are not embedded, which the printing machine would have to supply. Keeps AC3. */
export function fontFindings(check: PageCheck): Finding[] {
  const { page } = check;
  const ofKind = (kind: ScannedFont['kind']) => page.fonts.filter((font) => font.kind === kind);
  const missing = ofKind('missing');
  const type3 = ofKind('type3');
  return [
    ...missing
      .slice(0, 1)
      .map((first) =>
        withFigure(
          missing.length,
          finding(
            'font-missing',
            'warn',
            placeOnPage(check, first),
            `Page ${page.number} sets text in ${fontsText(missing)}, which the file does not embed, so another font may be printed instead.`,
            'Ask for a PDF with all fonts embedded, or with the lettering turned to outlines.',
          ),
        ),
      ),
    ...type3
      .slice(0, 1)
      .map((first) =>
        finding(
          'font-type3',
          'note',
          placeOnPage(check, first),
          `Page ${page.number} sets text in ${fontsText(type3)} of Type 3, whose letters are small drawings of their own.`,
          'Look at this lettering on the customer proof: such fonts may be bitmaps that print rough.',
        ),
      ),
  ];
}

const MAX_NAMES = 8;

function fontsText(fonts: readonly ScannedFont[]): string {
  const names = fonts.map(({ name }) => name);
  const shown =
    names.length > MAX_NAMES ? [...names.slice(0, MAX_NAMES), `${names.length - MAX_NAMES} more`] : names;
  return `${fonts.length === 1 ? 'the font' : 'the fonts'} ${listText(shown)}`;
}
