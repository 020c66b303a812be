import { PDFArray, type PDFDict, PDFName, PDFStream } from 'pdf-lib';
import { arrayOf, dictOf, nameOf, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import { CharacterMap } from './character-map.ts';
import { characterMapOf } from './character-map-load.ts';
import type { Font } from './font.ts';
import { fontShape, isProgramPresent } from './font-shape.ts';

/** Widths of a run of CIDs: `first` to `last`, one width for all or one each. */
interface WidthRun {
  readonly first: number;
  readonly last: number;
  readonly widths: readonly number[];
}

const EM = 1000;

/**
 * A Type 0 font, ISO 32000-1, 9.7. Character maps that readers are expected to have (the Asian ones) are not available
 * here, so two-byte codes stand in, which places full-width glyphs correctly.
 */
export async function compositeFontFrom(
  dict: PDFDict,
  toUnicode: CharacterMap | undefined,
  objects: PdfObjects,
): Promise<Font> {
  const get = (from: PDFDict | undefined, key: string) => objects.resolved(from?.get(PDFName.of(key)));
  const encoding = await get(dict, 'Encoding');
  const encodingName = nameOf(encoding) ?? '';
  const embedded = encoding instanceof PDFStream ? await characterMapOf(encoding, objects) : undefined;
  const map = embedded?.hasCodeSpaces ? embedded : CharacterMap.identity(encodingName.endsWith('V'));
  const descendants = arrayOf(await get(dict, 'DescendantFonts'));
  const descendant = dictOf(await objects.resolved(descendants?.asArray()[0]));
  const defaultWidth = numberOf(await get(descendant, 'DW')) ?? EM;
  const isVertical = map.isVertical;
  const runs = await widthRuns(
    arrayOf(await get(descendant, isVertical ? 'W2' : 'W')),
    isVertical ? 3 : 1,
    objects,
  );
  const verticalDefaults = arrayOf(await get(descendant, 'DW2'))?.asArray() ?? [];
  const defaultAdvance = isVertical
    ? (numberOf(await objects.resolved(verticalDefaults[1])) ?? -EM)
    : defaultWidth;
  const known = new Map<number, number>();
  const advanceOf = (cid: number): number => {
    let advance = known.get(cid);
    if (advance === undefined) {
      advance = runWidth(runs, cid) ?? defaultAdvance;
      known.set(cid, advance);
    }
    return advance / EM;
  };
  const descriptor = dictOf(await get(descendant, 'FontDescriptor'));
  const shape = await fontShape(descriptor, objects);
  // In vertical writing a glyph hangs below its origin and is centered on it (9.7.4.3); one extra em allows for both.
  const { box } = shape;
  const hanging = { x0: box.x0 - 1, y0: box.y0 - 1.2, x1: box.x1, y1: box.y1 };
  return {
    name: nameOf(await get(dict, 'BaseFont')) ?? '',
    ...shape,
    isEmbedded: isProgramPresent(descriptor),
    isVertical,
    box: isVertical ? hanging : box,
    glyphs: (string) =>
      map.codes(string).map(({ code, bytes }) => ({
        code,
        advance: advanceOf(map.cid(code)),
        isWordSpace: bytes === 1 && code === 0x20,
      })),
    text: (code) => toUnicode?.text(code),
    type3: undefined,
  };
}

function runWidth(runs: readonly WidthRun[], cid: number): number | undefined {
  for (const run of runs) {
    if (cid < run.first || cid > run.last) continue;
    return run.widths.length === 1 ? run.widths[0] : run.widths[cid - run.first];
  }
  return undefined;
}

/**
 * W and W2, 9.7.4.3: `c [w …]` or `first last w`; in W2 each width is three numbers, the first of which is the advance.
 */
async function widthRuns(
  array: PDFArray | undefined,
  size: number,
  objects: PdfObjects,
): Promise<WidthRun[]> {
  const runs: WidthRun[] = [];
  const items = array?.asArray() ?? [];
  const numberAt = async (i: number) => numberOf(await objects.resolved(items[i])) ?? 0;
  for (let i = 0; i + 1 < items.length; ) {
    const first = await numberAt(i);
    const second = await objects.resolved(items[i + 1]);
    if (second instanceof PDFArray) {
      const all = await Promise.all(second.asArray().map((item) => objects.resolved(item)));
      const widths = all.filter((_, n) => n % size === 0).map((item) => numberOf(item) ?? 0);
      // A run with a single width would read as one width for all, which means the same for a run of one.
      runs.push({ first, last: first + widths.length - 1, widths });
      i += 2;
    } else {
      runs.push({ first, last: numberOf(second) ?? first, widths: [await numberAt(i + 2)] });
      i += 2 + size;
    }
  }
  return runs;
}
