/** The look of a spot ink where it is not loaded: a color in its alternate space. */

import { itemAt } from '../../measure/present.ts';
import type { ScannedSpot } from './schema.ts';

export type SpotColor = ScannedSpot['colors'][number];

/** Rounding tolerance of programs that write colors: two hundredths of a component. */
const TOLERANCE = 0.02;

export function isSameSpotColor(a: SpotColor, b: SpotColor): boolean {
  // Lab values go up to 100 and more.
  const tolerance = TOLERANCE * (a.space === 'Lab' ? 100 : 1);
  return (
    a.space === b.space &&
    a.values.length === b.values.length &&
    a.values.every((value, i) => Math.abs(value - itemAt(b.values, i)) <= tolerance)
  );
}

/** `DeviceCMYK 0, 100, 90, 0 %`, `Lab 48, 68, 40` */
export function spotColorText({ space, values }: SpotColor): string {
  const shown = values.map((value) => String(Math.round(space === 'Lab' ? value : 100 * value)));
  return `${space} ${shown.join(', ')}${space === 'Lab' ? '' : ' %'}`;
}
