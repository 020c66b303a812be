/** Ink amounts of picture samples from a table, because a picture has too many pixels to compute each. */
import { PDFHexString, type PDFObject, PDFStream, PDFString } from 'pdf-lib';
import type { PictureForm } from '../../ink/picture-samples.ts';
import { firstOf, itemAt } from '../../measure/present.ts';
import type { ColorSpace } from '../../pdf/content/color-space.ts';
import { arrayOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { inkPlates } from './color-values.ts';
import { FULL_INK } from './ink-histogram.ts';

export interface InkTables {
  /** The most ink that a pixel can have, in plates of full ink. */
  readonly plates: number;
  /** Per component, the ink of each sample value; 255 is one plate of full ink. */
  readonly ofSamples: readonly Uint32Array[];
}

/** Number of plates that the colors of a space use, for a palette those of its base; 0 where they state light. */
export function mostPlates(space: ColorSpace): number {
  const plates = inkPlates(space.family === 'Indexed' && space.base ? space.base : space) ?? [];
  return plates.reduce((sum, count) => sum + count, 0);
}

/**
 * `object` is the space in the file, with its palette. Undefined where it has no readable palette. @throws PdfProblem
 */
export async function inkTables(
  space: ColorSpace,
  object: PDFObject | undefined,
  form: PictureForm,
  full: number,
  file: PdfFile,
): Promise<InkTables | undefined> {
  const plates = mostPlates(space);
  const standsFor = ([low, high]: readonly [number, number], sample: number): number =>
    low + (sample * (high - low)) / full;
  if (space.family !== 'Indexed') {
    const weights = inkPlates(space) ?? [];
    const ofSamples = form.decode.map((range, component) =>
      Uint32Array.from(
        { length: full + 1 },
        (_, sample) => (weights[component] ?? 0) * inkOf(standsFor(range, sample)),
      ),
    );
    return { plates, ofSamples };
  }
  const palette = await paletteInks(space, object, file);
  if (palette === undefined) return undefined;
  // Indices past the palette use its last entry (8.6.6.3).
  const last = palette.length - 1;
  const range = firstOf(form.decode);
  const ofIndex = Uint32Array.from({ length: full + 1 }, (_, sample) => {
    const index = Math.round(standsFor(range, sample));
    return itemAt(palette, Math.min(last, Math.max(0, index)));
  });
  return { plates, ofSamples: [ofIndex] };
}

const inkOf = (value: number): number => Math.round(FULL_INK * Math.min(1, Math.max(0, value)));

/** The ink of each entry. */
async function paletteInks(
  { base }: ColorSpace,
  object: PDFObject | undefined,
  file: PdfFile,
): Promise<number[] | undefined> {
  const weights = base && inkPlates(base);
  const parts = arrayOf(await file.resolved(object))?.asArray() ?? [];
  const last = numberOf(await file.resolved(parts[2]));
  const bytes = await tableBytes(await file.resolved(parts[3]), file);
  if (!weights || last === undefined || bytes === undefined) return undefined;
  const count = Math.min(last + 1, Math.floor(bytes.length / weights.length));
  if (!(count > 0)) return undefined;
  return Array.from({ length: count }, (_, entry) =>
    weights.reduce((sum, weight, i) => sum + weight * itemAt(bytes, entry * weights.length + i), 0),
  );
}

async function tableBytes(table: PDFObject | undefined, file: PdfFile): Promise<Uint8Array | undefined> {
  if (table instanceof PDFString || table instanceof PDFHexString) return table.asBytes();
  if (!(table instanceof PDFStream)) return undefined;
  const { bytes, remaining } = await file.streamDecoded(table);
  return remaining.length === 0 ? bytes : undefined;
}
