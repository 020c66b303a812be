/** Fonts as far as placing text asks: how strings split into glyphs, how wide those are, how high they reach. */
import { type PDFDict, PDFName, PDFStream } from 'pdf-lib';
import { arrayOf, dictOf, nameOf, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import type { Matrix, SourceBox } from '../page-space.ts';
import type { CharacterMap } from './character-map.ts';
import { characterMapOf } from './character-map-load.ts';
import { compositeFontFrom } from './font-composite.ts';
import { fontShape, isProgramPresent, type3Shape } from './font-shape.ts';
import { type BaseEncoding, glyphNameOf, textOfCode, textOfGlyphName } from './glyph-names.ts';
import { matrixOf, numbersOf } from './object-numbers.ts';
import { standardFontFor } from './standard-fonts.ts';

/** One glyph of a string. Lengths are in ems: 1 is the font size. */
export interface GlyphCode {
  readonly code: number;
  readonly advance: number;
  /** Whether word spacing (Tw) applies: the single byte 32. */
  readonly isWordSpace: boolean;
}

export interface Font {
  readonly name: string;
  /** Whether the file brings the font's program along. The glyphs of a Type 3 font always are in the file. */
  readonly isEmbedded: boolean;
  readonly isVertical: boolean;
  /** Around any glyph set at the origin, ems; generous where the font does not say. */
  readonly box: SourceBox;
  /** Top and bottom of a line of text, ems; bottom is negative. */
  readonly ascent: number;
  readonly descent: number;
  glyphs(string: Uint8Array): GlyphCode[];
  /** Unicode of a code, where the font or its encoding tells. */
  text(code: number): string | undefined;
  readonly type3: Type3Glyphs | undefined;
}

/** A Type 3 font's glyphs are content streams, ISO 32000-1, 9.6.5. */
export interface Type3Glyphs {
  readonly matrix: Matrix;
  readonly resources: PDFDict | undefined;
  procedure(code: number): Promise<PDFStream | undefined>;
}

/** Reads a font dictionary. A font that cannot be read is set with the metrics of a common one. */
export async function fontFrom(dict: PDFDict, objects: PdfObjects): Promise<Font> {
  const type = nameOf(await objects.resolved(dict.get(PDFName.of('Subtype'))));
  const toUnicode = await characterMapOf(dict.get(PDFName.of('ToUnicode')), objects);
  if (type === 'Type0') return compositeFontFrom(dict, toUnicode, objects);
  return simpleFont(dict, type === 'Type3', toUnicode, objects);
}

async function simpleFont(
  dict: PDFDict,
  isType3: boolean,
  toUnicode: CharacterMap | undefined,
  objects: PdfObjects,
): Promise<Font> {
  const get = (key: string) => objects.resolved(dict.get(PDFName.of(key)));
  const name = nameOf(await get('BaseFont')) ?? nameOf(await get('Name')) ?? '';
  const descriptor = dictOf(await get('FontDescriptor'));
  const encodingEntry = await get('Encoding');
  const encoding = baseEncoding(
    nameOf(encodingEntry) ??
      nameOf(await objects.resolved(dictOf(encodingEntry)?.get(PDFName.of('BaseEncoding')))),
    name,
  );
  const differences = await differencesOf(dictOf(encodingEntry), objects);
  const matrix = (await matrixOf(await get('FontMatrix'), objects)) ?? [0.001, 0, 0, 0.001, 0, 0];
  const unit = isType3 ? matrix[0] : 0.001;
  const widths = await numbersOf(arrayOf(await get('Widths')), objects);
  const firstChar = numberOf(await get('FirstChar')) ?? 0;
  const missing = numberOf(await objects.resolved(descriptor?.get(PDFName.of('MissingWidth')))) ?? 0;
  const standard = widths === undefined && !isType3 ? standardFontFor(name) : undefined;
  const glyphName = (code: number) => differences.get(code) ?? glyphNameOf(encoding, code);
  const advances = Float64Array.from({ length: 256 }, (_, code) => {
    if (standard !== undefined) return (standard.getWidthOfGlyph(glyphName(code) ?? '') ?? 0) * unit;
    return (widths?.[code - firstChar] ?? missing) * unit;
  });
  const shape = await fontShape(descriptor, objects, standard?.FontBBox);
  return {
    name,
    isEmbedded: isType3 || isProgramPresent(descriptor),
    isVertical: false,
    ...(isType3 ? await type3Shape(await get('FontBBox'), matrix, objects) : shape),
    glyphs: (string) =>
      Array.from(string, (code) => ({ code, advance: advances[code]!, isWordSpace: code === 0x20 })),
    text(code) {
      const mapped = toUnicode?.text(code);
      if (mapped !== undefined) return mapped;
      const different = differences.get(code);
      return different === undefined ? textOfCode(encoding, code) : textOfGlyphName(different);
    },
    type3: isType3
      ? {
          matrix,
          resources: dictOf(await get('Resources')),
          async procedure(code) {
            const procedures = dictOf(await get('CharProcs'));
            const glyph = glyphName(code);
            const stream =
              glyph === undefined ? undefined : await objects.resolved(procedures?.get(PDFName.of(glyph)));
            return stream instanceof PDFStream ? stream : undefined;
          },
        }
      : undefined,
  };
}

function baseEncoding(name: string | undefined, baseFont: string): BaseEncoding {
  if (/Symbol/.test(baseFont)) return 'Symbol';
  if (/Dingbats/.test(baseFont)) return 'ZapfDingbats';
  if (name === 'WinAnsiEncoding' || name === 'MacRomanEncoding') return name;
  return 'StandardEncoding';
}

/** Differences, 9.6.6: `[32 /space 65 /A /B]` names consecutive codes. */
async function differencesOf(
  encoding: PDFDict | undefined,
  objects: PdfObjects,
): Promise<Map<number, string>> {
  const names = new Map<number, string>();
  let code = 0;
  for (const item of arrayOf(await objects.resolved(encoding?.get(PDFName.of('Differences'))))?.asArray() ??
    []) {
    const value = await objects.resolved(item);
    const name = nameOf(value);
    if (name === undefined) code = numberOf(value) ?? code;
    else names.set(code++, name);
  }
  return names;
}
