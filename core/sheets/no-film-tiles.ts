/** Keys and names of no-film areas on a picture. */

import type { Item, Stroke } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap } from '../drawing/text-block.ts';
import { type Point, type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import {
  isClearOf,
  type TileLine,
  type ToAvoid,
  tileItems,
  tileMovedInto,
  tileSize,
  tilesWithin,
} from './picture-tiles.ts';
import type { Placer } from './placer.ts';
import { leaderItems, leaderPath } from './tile-leader.ts';

/** Capitals of 5 mm, read from 2 m; half as high where the area is small. */
const KEY_MM: Mm = sizeFromCap(5);

const SMALL_KEY_MM: Mm = sizeFromCap(3.5);

/**
 * The key and, where there is room, the name of a no-film area; a small area has its key beside it, clear of lettering
 * and other areas where possible.
 */
export function noFilmAreaTextItems(
  fonts: FontMetrics,
  { key, name }: { readonly key: string; readonly name: string },
  { noFilmArea, picture }: { readonly noFilmArea: Rect; readonly picture: Rect },
  { noFilmAreas, lettering }: ToAvoid,
  placer: Placer,
): Item[] {
  const tag = `opening ${key}`;
  const within: Rect = {
    x: noFilmArea.x + 0.4,
    y: noFilmArea.y + 0.4,
    width: noFilmArea.width - 0.8,
    height: noFilmArea.height - 0.8,
  };
  const stacked = (keyMm: Mm): TileLine[] => [
    { text: key, role: 'bold', sizeMm: keyMm },
    { text: name, role: 'regular', sizeMm: 3.5 },
  ];
  const alone = (sizeMm: Mm): TileLine[] => [{ text: key, role: 'bold', sizeMm }];
  for (const lines of [stacked(KEY_MM), alone(KEY_MM), stacked(SMALL_KEY_MM), alone(SMALL_KEY_MM)]) {
    const tile = placer.place(tilesWithin(within, tileSize(fonts, lines)));
    if (tile) return tileItems(fonts, lines, tile, tag, { isTurned: false });
  }
  const sizes = [KEY_MM, SMALL_KEY_MM, 3.5, 2.8];
  const others = noFilmAreas.filter((area) => !isSameRect(area, noFilmArea));
  for (const [avoid, keySizes] of [
    [[...others, ...lettering], sizes.filter((sizeMm) => sizeMm >= SMALL_KEY_MM)],
    [others, sizes],
    [[], sizes],
  ] as const) {
    for (const sizeMm of keySizes) {
      const beside = tilesBeside(noFilmArea, tileSize(fonts, alone(sizeMm)), picture);
      const candidates = beside.filter((tile) => isClearOf(avoid, tile));
      const tile = placer.place(candidates);
      if (tile) return tileItems(fonts, alone(sizeMm), tile, tag, { isTurned: false, stroke: KEY_FRAME });
    }
  }
  const middle = { x: noFilmArea.x + noFilmArea.width / 2, y: noFilmArea.y + noFilmArea.height / 2 };
  for (const sizeMm of sizes.slice(1)) {
    const away = tilesAround(middle, tileSize(fonts, alone(sizeMm)), picture).filter((tile) =>
      isClearOf(noFilmAreas, tile),
    );
    const isLedFreely = (tile: Rect) =>
      placer.isFree(leaderPath({ from: nearestPoint(tile, middle), to: middle }));
    const tile = placer.place([...away.filter(isLedFreely), ...away]);
    if (!tile) continue;
    const from = nearestPoint(tile, middle);
    const lengthMm = Math.hypot(middle.x - from.x, middle.y - from.y);
    return [
      ...leaderItems({ from, to: middle, lengthMm }, tag),
      ...tileItems(fonts, alone(sizeMm), tile, tag, { isTurned: false, stroke: KEY_FRAME }),
    ];
  }
  return [];
}

const isSameRect = (a: Rect, b: Rect): boolean =>
  a.x === b.x && a.y === b.y && a.width === b.width && a.height === b.height;

const nearestPoint = ({ x, y, width, height }: Rect, to: Point): Point => ({
  x: Math.max(x, Math.min(to.x, x + width)),
  y: Math.max(y, Math.min(to.y, y + height)),
});

const KEY_FRAME: Stroke = { widthMm: 0.18, black: 1 };

/** How many tiles away in each direction a place for a key is tried. */
const TILES_AWAY = 5;

/** Places in the picture around a point, nearest first. */
function tilesAround(middle: Point, size: { width: Mm; height: Mm }, picture: Rect): Rect[] {
  const steps = Array.from({ length: 2 * TILES_AWAY + 1 }, (_, index) => index - TILES_AWAY);
  const distance = (tile: Rect) =>
    Math.hypot(tile.x + tile.width / 2 - middle.x, tile.y + tile.height / 2 - middle.y);
  return steps
    .flatMap((h) =>
      steps.map((v): Rect => {
        const x = middle.x + (h - 0.5) * size.width;
        const y = middle.y + (v - 0.5) * size.height;
        return tileMovedInto({ x, y, ...size }, picture);
      }),
    )
    .toSorted((a, b) => distance(a) - distance(b));
}

/**
 * Places beside an area in the picture: above, below, left and right, then farther along. At an edge of the picture
 * they move along the area.
 */
function tilesBeside(area: Rect, size: { width: Mm; height: Mm }, picture: Rect): Rect[] {
  const { x, y, width, height } = area;
  const middle = { x: x + width / 2 - size.width / 2, y: y + height / 2 - size.height / 2, ...size };
  const { x: middleX, y: middleY } = tileMovedInto(middle, picture);
  const beside = [0, -1, 1].flatMap((shift) => [
    { x: middleX + shift * size.width, y: y - size.height - 0.6 },
    { x: middleX + shift * size.width, y: y + height + 0.6 },
    { x: x - size.width - 0.6, y: middleY + shift * size.height },
    { x: x + width + 0.6, y: middleY + shift * size.height },
  ]);
  return beside
    .map((at): Rect => ({ ...at, ...size }))
    .filter((tile) => {
      const shared = rectIntersection(tile, picture);
      return shared && Math.abs(shared.width - tile.width) + Math.abs(shared.height - tile.height) < 1e-6;
    });
}
