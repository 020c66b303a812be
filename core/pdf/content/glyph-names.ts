/** Converts character codes to glyph names and text, for fonts that do not state them. */
import { Encodings } from 'pdf-lib/standard-fonts';
import { firstOf, itemAt } from '../../measure/present.ts';

/** Mac OS Roman above ASCII, ISO 32000-1, Annex D.2 (from memory; code 0xF0 is a logo, 0xCA a space). */
const MAC_ROMAN =
  'ÄÅÇÉÑÖÜáàâäãåçéèêëíìîïñóòôöõúùûü†°¢£§•¶ß®©™´¨≠ÆØ∞±≤≥¥µ∂∑∏π∫ªºΩæø¿¡¬√ƒ≈∆«»… ÀÃÕŒœ–—“”‘’÷◊ÿŸ⁄¤‹›ﬁﬂ‡·‚„‰ÂÊÁËÈÍÎÏÌÓÔ\uf8ffÒÚÛÙıˆ˜¯˘˙˚¸˝˛ˇ';

interface NamedCode {
  readonly name: string;
  readonly codePoint: number;
}

function codesOf(encoding: (typeof Encodings)['WinAnsi']): Map<number, NamedCode> {
  const codes = new Map<number, NamedCode>();
  for (const codePoint of encoding.supportedCodePoints) {
    const { code, name } = encoding.encodeUnicodeCodePoint(codePoint);
    if (!codes.has(code)) codes.set(code, { name, codePoint });
  }
  return codes;
}

const WIN_ANSI = codesOf(Encodings.WinAnsi);
const SYMBOL = codesOf(Encodings.Symbol);
const DINGBATS = codesOf(Encodings.ZapfDingbats);
const CODE_POINT_OF_NAME = new Map(
  [...WIN_ANSI.values(), ...SYMBOL.values()].map((c) => [c.name, c.codePoint]),
);
const NAME_OF_CODE_POINT = new Map([...WIN_ANSI.values()].map((c) => [c.codePoint, c.name]));

export type BaseEncoding =
  | 'WinAnsiEncoding'
  | 'MacRomanEncoding'
  | 'StandardEncoding'
  | 'Symbol'
  | 'ZapfDingbats';

/** The glyph name of a code. ASCII uses StandardEncoding, which differs only in the two quotes. */
export function glyphNameOf(encoding: BaseEncoding, code: number): string | undefined {
  switch (encoding) {
    case 'Symbol':
      return SYMBOL.get(code)?.name;
    case 'ZapfDingbats':
      return DINGBATS.get(code)?.name;
    case 'MacRomanEncoding':
      return code < 0x80
        ? WIN_ANSI.get(code)?.name
        : NAME_OF_CODE_POINT.get(MAC_ROMAN.codePointAt(code - 0x80) ?? 0);
    case 'StandardEncoding':
      if (code === 0x27) return 'quoteright';
      if (code === 0x60) return 'quoteleft';
      return code < 0x80 ? WIN_ANSI.get(code)?.name : undefined;
    default:
      return WIN_ANSI.get(code)?.name;
  }
}

export function textOfCode(encoding: BaseEncoding, code: number): string | undefined {
  if (encoding === 'MacRomanEncoding' && code >= 0x80) return MAC_ROMAN[code - 0x80];
  const name = glyphNameOf(encoding, code);
  return name === undefined ? undefined : textOfGlyphName(name);
}

/** The text of a glyph name: a Latin or symbol name, `uni0041`, `u1F600`, or one of these with a suffix. */
export function textOfGlyphName(name: string): string | undefined {
  const stem = firstOf(name.split('.', 1));
  const codePoint = CODE_POINT_OF_NAME.get(stem);
  if (codePoint !== undefined) return String.fromCodePoint(codePoint);
  const hex = /^(?:uni([0-9A-F]{4})|u([0-9A-F]{4,6}))$/.exec(stem);
  const value = hex === null ? Number.NaN : Number.parseInt(hex[1] ?? itemAt(hex, 2), 16);
  if (value <= 0x10ffff) return String.fromCodePoint(value);
  return stem.length === 1 ? stem : undefined;
}
