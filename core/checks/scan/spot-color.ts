/** What a spot ink looks like where it is not loaded: a color of its alternate space. */

import { itemAt } from '../../measure/present.ts';
import type { ScannedSpot } from './schema.ts';

export type SpotColor = ScannedSpot['colors'][number];

/** What programs round away when they write a color: two in a hundred of a component. */
const TOLERANCE = 0.02;

export function isSameSpotColor(a: SpotColor, b: SpotColor): boolean {
  // Lab counts to 100 and beyond.
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
