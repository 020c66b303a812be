import type { OutputSize } from '../job/schema.ts';
import { decimalText } from '../measure/length-text.ts';
import { MAX_PAGE_MM } from '../measure/page-limits.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';

/** The smallest whole reduction at which a PDF page holds film of a length: 7,365 mm is written at 1:2. */
export const leastReduction = (filmMm: Mm): number =>
  Math.max(1, Math.ceil((filmMm - LENGTH_TOLERANCE_MM) / MAX_PAGE_MM));

/**
 * The size to write panel files at so that their pages hold film of a length: the present setting where it is enough.
 */
export function outputSizeHolding(size: OutputSize, filmMm: Mm): OutputSize {
  if (size.kind === 'user-unit') return size;
  const factor = leastReduction(filmMm);
  const isHeld =
    factor <= 1 || (size.kind === 'reduction' && filmMm / size.factor <= MAX_PAGE_MM + LENGTH_TOLERANCE_MM);
  return isHeld ? size : { kind: 'reduction', factor };
}

/** The size of panel files, with the percentage that production enters: `1:2, enlarged to 200 %`. */
export function outputSizeText(size: OutputSize): string {
  switch (size.kind) {
    case 'true-size':
      return 'finished size, printed at 100 %';
    case 'reduction':
      return `1:${decimalText(size.factor, 4)}, enlarged to ${decimalText(100 * size.factor, 2)} %`;
    case 'user-unit':
      return 'finished size in larger units (UserUnit), printed at 100 %';
  }
}
