/** White tiles with text on a picture: size, drawing and possible places. */

import { BLACK, CAP_HEIGHT, type FontRole, type Item, PAPER, type Stroke } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf, textLine } from '../drawing/text-block.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/** A line of text on a white tile: panel numbers, names of no-film areas, which panel is on top. */
export interface TileLine {
  readonly text: string;
  readonly role: FontRole;
  readonly sizeMm: Mm;
}

const TILE_PAD_MM: Mm = 0.9;

/** Size of a white tile with centered lines of text. */
export function tileSize(fonts: FontMetrics, lines: readonly TileLine[]): { width: Mm; height: Mm } {
  const widths = lines.map(({ text, role, sizeMm }) => fonts.width(fonts.printable(text), role, sizeMm));
  const heights = lines.map(({ sizeMm }) => sizeMm * 1.2);
  return {
    width: Math.max(...widths) + 2 * TILE_PAD_MM,
    height: heights.reduce((a, b) => a + b, 0) + TILE_PAD_MM * 0.6,
  };
}

export function tileItems(
  fonts: FontMetrics,
  lines: readonly TileLine[],
  rect: Rect,
  tag: string,
  {
    isTurned,
    stroke,
    isReversed = false,
  }: {
    readonly isTurned: boolean;
    readonly stroke?: Stroke | undefined;
    readonly isReversed?: boolean | undefined;
  },
): Item[] {
  const total = lines.reduce((sum, { sizeMm }) => sum + sizeMm * 1.2, 0);
  let across = ((isTurned ? rect.width : rect.height) - total) / 2;
  const texts = lines.map(({ text, role, sizeMm }) => {
    const base = across + (sizeMm * 1.2 + sizeMm * CAP_HEIGHT) / 2;
    across += sizeMm * 1.2;
    const at = isTurned
      ? { x: rect.x + base, y: rect.y + rect.height / 2 }
      : { x: rect.x + rect.width / 2, y: rect.y + base };
    return textLine(
      fonts,
      text,
      { ...styleOf(role, sizeMm), black: isReversed ? 0 : 1 },
      {
        at,
        anchor: 'middle',
        turn: isTurned ? 90 : 0,
        tag,
      },
    );
  });
  const fill = isReversed ? BLACK : PAPER;
  return [{ kind: 'rect', tag, rect, fill, ...(stroke ? { stroke } : {}) }, ...texts];
}

/** What text on a picture avoids where possible. */
export interface ToAvoid {
  readonly noFilmAreas: readonly Rect[];
  readonly lettering: readonly Rect[];
}

export const isClearOf = (areas: readonly Rect[], tile: Rect): boolean =>
  areas.every((area) => !rectIntersection(area, tile));

/** Places for a tile in a room: the middle first, then farther out. */
export function tilesWithin(room: Rect, size: { width: Mm; height: Mm }): Rect[] {
  if (size.width > room.width || size.height > room.height) return [];
  const [across, down] = [room.width - size.width, room.height - size.height];
  return stepsAlong(across)
    .flatMap((h) => stepsAlong(down).map((v) => ({ h, v })))
    .sort((a, b) => Math.hypot(a.h - 0.5, a.v - 0.5) - Math.hypot(b.h - 0.5, b.v - 0.5))
    .map(({ h, v }) => ({ x: room.x + across * h, y: room.y + down * v, ...size }));
}

/** Steps by which a tile moves away from a text at the edge of its room, by the depth of that text. */
const TEXT_DEPTHS_MM: readonly Mm[] = [2.2, 3.4, 5];

/** Shares of a length at which a tile may be: coarse steps inside, finer ones at both ends. */
function stepsAlong(lengthMm: Mm): readonly number[] {
  const ends = TEXT_DEPTHS_MM.filter((depth) => depth < lengthMm / 2).map((depth) => depth / lengthMm);
  return [0.5, 0.4, 0.6, 0.25, 0.75, 0.1, 0.9, 0, 1, ...ends, ...ends.map((share) => 1 - share)];
}

export function tileMovedInto(tile: Rect, picture: Rect): Rect {
  const within = (at: Mm, size: Mm, from: Mm, room: Mm) => Math.max(from, Math.min(at, from + room - size));
  return {
    ...tile,
    x: within(tile.x, tile.width, picture.x, picture.width),
    y: within(tile.y, tile.height, picture.y, picture.height),
  };
}
