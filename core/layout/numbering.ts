import type { Output } from '../job/schema.ts';
import type { Rect } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';

/**
 * Panel numbers of a side, from 1, by panel id. By default the number is the place in the install order; reading order
 * goes row by row from the top left.
 */
export function panelNumbers(
  panels: readonly { readonly id: string; readonly net: Rect<'finished'> }[],
  order: readonly string[],
  numbering: Output['numbering'],
): ReadonlyMap<string, number> {
  const ids =
    numbering === 'install-order'
      ? order
      : panels
          .toSorted((a, b) =>
            Math.abs(a.net.y - b.net.y) > LENGTH_TOLERANCE_MM ? a.net.y - b.net.y : a.net.x - b.net.x,
          )
          .map(({ id }) => id);
  return new Map(ids.map((id, index) => [id, index + 1]));
}
