import { type PDFDict, PDFName, PDFStream } from 'pdf-lib';
import { itemAt } from '../../measure/present.ts';
import { arrayOf, dictOf, nameOf, nameText, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import type { CharacterMap } from './character-map.ts';
import { characterMapOf } from './character-map-load.ts';
import type { Font } from './font.ts';
import { compositeFontFrom } from './font-composite.ts';
import { fontShape, isProgramPresent, type3Shape } from './font-shape.ts';
import { type BaseEncoding, glyphNameOf, textOfCode, textOfGlyphName } from './glyph-names.ts';
import { matrixOf, numbersOf } from './object-numbers.ts';
import { standardFontFor } from './standard-fonts.ts';

/** Reads a font dictionary. A font that cannot be read gets the metrics of a common one. */
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
  const name = nameText(await get('BaseFont')) ?? nameText(await get('Name')) ?? '';
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
      Array.from(string, (code) => ({ code, advance: itemAt(advances, code), isWordSpace: code === 0x20 })),
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
