/** Metrics of the 14 fonts that every reader must have, ISO 32000-1, 9.6.2.2, from Adobe's published AFM files. */
import { Font as Afm, type IFontNames } from 'pdf-lib/standard-fonts';
import { itemAt } from '../../measure/present.ts';

const STYLES = {
  Courier: ['Courier', 'Courier-Bold', 'Courier-Oblique', 'Courier-BoldOblique'],
  Helvetica: ['Helvetica', 'Helvetica-Bold', 'Helvetica-Oblique', 'Helvetica-BoldOblique'],
  Times: ['Times-Roman', 'Times-Bold', 'Times-Italic', 'Times-BoldItalic'],
} as const;

/** The metrics that best match a font's name: its own if it is one of the 14, else those of its kind. */
export function standardFontFor(baseFont: string): Afm {
  return Afm.load(standardName(baseFont));
}

function standardName(baseFont: string): IFontNames {
  const name = baseFont.replace(/^[A-Z]{6}\+/, '');
  if (/^Symbol/i.test(name)) return 'Symbol';
  if (/^(Zapf)?Dingbats/i.test(name)) return 'ZapfDingbats';
  const family = /courier|mono|consol/i.test(name)
    ? 'Courier'
    : /times|serif(?!.*sans)|roman|georgia|garamond|minion/i.test(name) && !/sans/i.test(name)
      ? 'Times'
      : 'Helvetica';
  const isBold = /bold|black|heavy/i.test(name);
  const isItalic = /italic|oblique/i.test(name);
  return itemAt(STYLES[family], (isBold ? 1 : 0) + (isItalic ? 2 : 0));
}
