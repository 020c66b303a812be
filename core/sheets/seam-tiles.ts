/** Text on the seams of a picture: which panel is on top. */

import { type Item, THIN } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap } from '../drawing/text-block.ts';
import { firstOf } from '../measure/present.ts';
import type { Point, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import {
  isClearOf,
  type TileLine,
  type ToAvoid,
  tileItems,
  tileMovedInto,
  tileSize,
} from './picture-tiles.ts';
import type { Placer } from './placer.ts';
import { type Leader, leaderItems, leaderPath } from './tile-leader.ts';

const SEAM_TEXT_SIZES: readonly Mm[] = [sizeFromCap(3.5), 4.2, 3.5, 2.8];

/** A drawn stretch where two panels meet, with its text. */
export interface SeamStretch {
  readonly text: string;
  readonly from: Point;
  readonly lengthMm: Mm;
  readonly isVertical: boolean;
  /** Set where it slopes or curves: the offset across from `from`, at a distance along. */
  readonly offAt?: (along: Mm) => Mm;
  /** The smaller depth of the two panels across the seam. */
  readonly depthMm: Mm;
}

/**
 * Prints on the seam which panel is on top, as near to the middle of the stretch as possible. Where the stretch or a
 * neighboring panel has no room, the text is beside the seam with a leader line, so that it is not read as another
 * seam's. It avoids other text and, where there is room, no-film areas and lettering.
 */
export function seamTextItems(
  fonts: FontMetrics,
  stretch: SeamStretch,
  picture: Rect,
  { noFilmAreas, lettering }: ToAvoid,
  placer: Placer,
): Item[] {
  const { text, from, lengthMm, isVertical, depthMm, offAt = () => 0 } = stretch;
  const tag = `seam text ${text}`;
  const shares = [0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95];
  const line = (sizeMm: Mm): TileLine[] => [{ text, role: 'bold', sizeMm }];
  const across = (along: Mm, shift: Mm, size: { width: Mm; height: Mm }): Rect =>
    isVertical
      ? {
          x: from.x + offAt(along + size.height / 2) - size.width / 2 + shift,
          y: from.y + along,
          ...size,
        }
      : {
          x: from.x + along,
          y: from.y + offAt(along + size.width / 2) - size.height / 2 + shift,
          ...size,
        };
  const cover = (tile: Rect) => (isClearOf(noFilmAreas, tile) ? (isClearOf(lettering, tile) ? 0 : 1) : 2);
  const clearest = (tiles: readonly Rect[]): Rect[] => tiles.toSorted((a, b) => cover(a) - cover(b));
  const clearestLed = (tiles: readonly Rect[]): Rect | undefined => {
    const rated = tiles.map((tile) => {
      const { isFree, lengthMm: long } = leaderOf(stretch, tile, placer);
      return { tile, faults: cover(tile) + (isFree ? 0 : 4) + (long > LONGEST_LEADER_MM ? 3 : 0) };
    });
    return rated.toSorted((a, b) => a.faults - b.faults)[0]?.tile;
  };
  for (const sizeMm of SEAM_TEXT_SIZES) {
    const flat = tileSize(fonts, line(sizeMm));
    if (flat.width > lengthMm - 1 || flat.height > depthMm) continue;
    const size = isVertical ? { width: flat.height, height: flat.width } : flat;
    const run = lengthMm - flat.width;
    const tile = placer.place(clearest(shares.map((share) => across(run * share, 0, size))));
    if (tile) return tileItems(fonts, line(sizeMm), tile, tag, { isTurned: isVertical, stroke: THIN });
  }
  for (const sizeMm of SEAM_TEXT_SIZES.slice(2)) {
    const flat = tileSize(fonts, line(sizeMm));
    for (const isTurned of isVertical ? [true, false] : [false, true]) {
      const size = isTurned ? { width: flat.height, height: flat.width } : flat;
      const [lengthways, depth] = isVertical ? [size.height, size.width] : [size.width, size.height];
      const candidates = [0, 1, -1, 2, -2, 3, -3].flatMap((step) =>
        shares.map((share) =>
          tileMovedInto(across((lengthMm - lengthways) * share, step * depth, size), picture),
        ),
      );
      const tile = clearestLed(candidates.filter((candidate) => placer.isFree(candidate)));
      if (!tile) continue;
      const led = leaderOf(stretch, tile, placer);
      placer.take(tile);
      placer.take(leaderPath(led));
      return [
        ...leaderItems(led, tag),
        ...tileItems(fonts, line(sizeMm), tile, tag, { isTurned, stroke: THIN }),
      ];
    }
  }
  return [];
}

/** A longer leader is hard to follow. */
const LONGEST_LEADER_MM: Mm = 10;

/** A line from a tile to its seam, perpendicular to the seam and clear of other text where possible. */
function leaderOf(
  { from, lengthMm: seamMm, isVertical, offAt = () => 0 }: SeamStretch,
  tile: Rect,
  placer: Placer,
): Leader {
  const within = (at: Mm, start: Mm, length: Mm) => Math.max(start, Math.min(at, start + length));
  const leaders = [0.5, 0.15, 0.85].map((share): Leader => {
    const [x, y] = [tile.x + tile.width * share, tile.y + tile.height * share];
    const along = isVertical ? within(y, from.y, seamMm) - from.y : within(x, from.x, seamMm) - from.x;
    const to = isVertical
      ? { x: from.x + offAt(along), y: from.y + along }
      : { x: from.x + along, y: from.y + offAt(along) };
    const start = { x: within(to.x, tile.x, tile.width), y: within(to.y, tile.y, tile.height) };
    const lengthMm = Math.hypot(to.x - start.x, to.y - start.y);
    return { from: start, to, lengthMm, isFree: placer.isFree(leaderPath({ from: start, to })) };
  });
  return leaders.find(({ isFree }) => isFree) ?? firstOf(leaders);
}
