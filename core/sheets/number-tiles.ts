/** Panel numbers on a picture. */

import type { Item, Stroke } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap } from '../drawing/text-block.ts';
import type { Panel } from '../layout/panel.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { isClearOf, type TileLine, type ToAvoid, tileItems, tileSize, tilesWithin } from './picture-tiles.ts';
import type { Placer } from './placer.ts';

/** Capital heights of panel numbers, largest first; 10 mm is readable across a bay. */
const NUMBER_CAPS: readonly Mm[] = [14, 12, 10, 8, 7, 6, 5, 4.2, 3.5, 3, 2.5, 2, 1.6, 1.2, 0.9];

/** Distance of a number from the seams of its panel, so that it is clear of their teeth. */
const ROOM_INSET_MM: Mm = 1.2;

const NUMBER_FRAME: Stroke = { widthMm: 0.5, black: 1 };

/** Below this size, a number is placed on lettering instead of becoming smaller. */
const LEAST_CLEAR_CAP_MM: Mm = 3.5;

/** Capital height of a number on lettering: readable from 2 m, without hiding more than necessary. */
const MOST_COVERING_CAP_MM: Mm = 5;

/** From this height on, the full label is under the number. */
const LABEL_FROM_CAP: Mm = 6;

/**
 * The number of a panel, as large as its room allows, in a corner, so that lettering used for alignment stays visible:
 * clear of no-film areas and lettering, else only of no-film areas. Reversed on a reprinted panel.
 */
export function numberItems(
  fonts: FontMetrics,
  {
    number,
    label,
    order,
    film,
  }: Pick<Panel, 'number' | 'label' | 'order'> & { readonly film?: string | undefined },
  panel: Rect,
  { noFilmAreas, lettering }: ToAvoid,
  { placer, isReversed }: { readonly placer: Placer; readonly isReversed: boolean },
): Item[] {
  const room: Rect = {
    x: panel.x + ROOM_INSET_MM,
    y: panel.y + ROOM_INSET_MM,
    width: Math.max(0, panel.width - 2 * ROOM_INSET_MM),
    height: Math.max(0, panel.height - 2 * ROOM_INSET_MM),
  };
  const clear = [...noFilmAreas, ...lettering];
  const covered = (tile: Rect) =>
    lettering.reduce((sum, area) => {
      const shared = rectIntersection(area, tile);
      return sum + (shared ? shared.width * shared.height : 0);
    }, 0);
  for (const [avoid, caps] of [
    [clear, NUMBER_CAPS.filter((cap) => cap >= LEAST_CLEAR_CAP_MM)],
    [noFilmAreas, NUMBER_CAPS.filter((cap) => lettering.length === 0 || cap <= MOST_COVERING_CAP_MM)],
    [[], NUMBER_CAPS],
  ] as const) {
    for (const cap of caps) {
      const small = (text: string): TileLine => ({ text, role: 'bold', sizeMm: Math.max(3.5, cap * 0.42) });
      const big: TileLine = { text: String(number), role: 'bold', sizeMm: sizeFromCap(cap) };
      // Where numbers follow the reading order, the install order is added.
      const installing = order === number ? [] : [small(`install ${order}`)];
      const more = [...(film === undefined ? [] : [small(film)]), ...installing];
      const lines: TileLine[] = cap >= LABEL_FROM_CAP ? [big, small(label), ...more] : [big, ...more];
      const size = tileSize(fonts, lines);
      const candidates = tilesFromCorners(room, size).filter((tile) => isClearOf(avoid, tile));
      const tile = placer.place(candidates.toSorted((a, b) => covered(a) - covered(b)));
      if (tile)
        return tileItems(fonts, lines, tile, `number ${label}`, {
          isTurned: false,
          stroke: NUMBER_FRAME,
          isReversed,
        });
    }
  }
  return [];
}

/** Capital height of a panel's number in the given room, 0 where none fits. */
export function numberCap(fonts: FontMetrics, number: string, room: { width: Mm; height: Mm }): Mm {
  const fitting = NUMBER_CAPS.find((cap) => {
    const size = tileSize(fonts, [{ text: number, role: 'bold', sizeMm: sizeFromCap(cap) }]);
    return size.width <= room.width - 2 * ROOM_INSET_MM && size.height <= room.height - 2 * ROOM_INSET_MM;
  });
  return fitting ?? 0;
}

/** Places for a tile in a room: corners first, then along the edges, then inward. */
function tilesFromCorners(room: Rect, size: { width: Mm; height: Mm }): Rect[] {
  const depth = (tile: Rect) => {
    const across = Math.min(tile.x - room.x, room.x + room.width - tile.x - tile.width);
    const down = Math.min(tile.y - room.y, room.y + room.height - tile.y - tile.height);
    return across + down;
  };
  return tilesWithin(room, size).toSorted((a, b) => depth(a) - depth(b) || a.y - b.y || a.x - b.x);
}
