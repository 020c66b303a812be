import { type Finding, finding } from '../../findings/finding.ts';
import { type PageCheck, placeOnPage } from '../check-context.ts';

const INKS = ['DeviceCMYK', 'Separation', 'DeviceN'];

/** Transparent colors are mixed in a blending space, which the file should name (ISO 32000-1, 11.4.7). Keeps AC10. */
export function transparencyFindings(check: PageCheck): Finding[] {
  const { page, scan } = check;
  const { transparency, blendingSpace } = page;
  if (transparency === undefined) return [];
  const where = placeOnPage(check, transparency);
  if (where.sideId === undefined) return [];
  if (blendingSpace === undefined) {
    const hasProfile = [...page.outputIntents, ...scan.document.outputIntents].some(
      ({ profileComponents }) => profileComponents !== undefined,
    );
    return [
      finding(
        'transparency-no-space',
        hasProfile ? 'note' : 'warn',
        where,
        `Page ${page.number} has transparency but names no color space to blend it in, so ${hasProfile ? 'it is blended in that of the output intent' : 'each RIP may mix other colors'}.`,
        'Ask for a PDF whose page group names a blending space, or judge the transparent parts on the customer proof.',
      ),
    ];
  }
  const isLight = /RGB|Gray|\(3 |\(1 /.test(blendingSpace);
  const isInk = page.spaces.some(
    ({ colors, colorComponents }) =>
      INKS.includes(colors) || (colors === 'ICCBased' && colorComponents === 4),
  );
  if (!isLight || !isInk) return [];
  return [
    finding(
      'transparency-light-space',
      'note',
      where,
      `Page ${page.number} blends transparency in ${blendingSpace} although it is painted in inks, so blended inks are converted there and back.`,
      'Compare the transparent parts, above all black lettering beside them, with the customer proof.',
    ),
  ];
}
