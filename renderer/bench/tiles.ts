/**
 * The artwork as a pyramid of tiles. Level 0 is the whole page in one small picture; each level above doubles
 * the resolution. All tiles of a level lie on one grid from the page's corner, so that they can be kept and
 * used again at any pan. Pure: no DOM.
 */
import { type Rect, rectIntersection } from '../../core/measure/rect.ts';
import type { PlacedPicture } from './sides-placed.ts';
import type { PxSize, Viewport } from './viewport.ts';
import { viewportWindow } from './viewport.ts';

export interface Tile {
  /** Names the tile within its page: level, column, row. */
  readonly key: string;
  readonly page: number;
  readonly level: number;
  readonly window: Rect<'drawn'>;
  readonly widthPx: number;
}

export const TILE_PX = 512;
/** Longest edge of the picture at level 0. */
const BASE_PX = 1024;
/** Sharper than this finished, about 200 ppi, nothing more is to be seen. */
const SHARPEST_PX_PER_FINISHED_MM = 8;
/** A tile may be shown enlarged by up to this before the next level is asked for. */
const SLACK = 1.15;

/** Pixels per drawn mm of a level. */
export const levelPxPerMm = (extent: Rect<'drawn'>, level: number): number =>
  (BASE_PX / Math.max(extent.width, extent.height)) * 2 ** level;

/** The lowest level that is sharp enough for `pxPerMm` device pixels per drawn mm. */
export function levelFor(extent: Rect<'drawn'>, pxPerMm: number, scale: number): number {
  const wanted = Math.min(pxPerMm, SHARPEST_PX_PER_FINISHED_MM * scale) / SLACK;
  return Math.max(0, Math.ceil(Math.log2(wanted / levelPxPerMm(extent, 0))));
}

/** The tiles of a level that touch `window`, row by row. Those at the rim end with the page. */
export function levelTiles(
  page: number,
  extent: Rect<'drawn'>,
  level: number,
  window: Rect<'drawn'>,
): readonly Tile[] {
  if (level === 0) {
    const isLandscape = extent.width >= extent.height;
    const widthPx = isLandscape ? BASE_PX : Math.max(1, Math.round((BASE_PX * extent.width) / extent.height));
    return [{ key: '0', page, level, window: extent, widthPx }];
  }
  const seen = rectIntersection(extent, window);
  if (!seen) return [];
  const pxPerMm = levelPxPerMm(extent, level);
  const tileMm = TILE_PX / pxPerMm;
  const tiles: Tile[] = [];
  const first = (at: number, origin: number) => Math.floor((at - origin) / tileMm);
  const [firstColumn, firstRow] = [first(seen.x, extent.x), first(seen.y, extent.y)];
  for (let row = firstRow; extent.y + row * tileMm < seen.y + seen.height; row++) {
    for (let column = firstColumn; extent.x + column * tileMm < seen.x + seen.width; column++) {
      const square = {
        x: extent.x + column * tileMm,
        y: extent.y + row * tileMm,
        width: tileMm,
        height: tileMm,
      };
      const tile = rectIntersection<'drawn'>(square, extent);
      if (!tile) continue;
      const widthPx = Math.max(1, Math.round(tile.width * pxPerMm));
      tiles.push({ key: `${level}/${column}/${row}`, page, level, window: tile, widthPx });
    }
  }
  return tiles;
}

/** The stretch of drawn space of a picture that the window shows. */
export function drawnWindow(picture: PlacedPicture, view: Viewport, size: PxSize): Rect<'drawn'> | undefined {
  const seen = viewportWindow(view, size);
  const { at, scale, shown } = picture;
  return rectIntersection<'drawn'>(shown, {
    x: (seen.x - at.x) / scale,
    y: (seen.y - at.y) / scale,
    width: seen.width / scale,
    height: seen.height / scale,
  });
}

/**
 * What a view needs of a page, in the order to ask for it: the whole page coarsely, then the sharp tiles from
 * the middle of the window outward.
 */
export function tilesWanted(
  picture: PlacedPicture,
  extent: Rect<'drawn'>,
  view: Viewport,
  size: PxSize,
  devicePixelRatio: number,
): readonly Tile[] {
  const window = drawnWindow(picture, view, size);
  if (!window) return [];
  const level = levelFor(extent, view.pxPerMm * picture.scale * devicePixelRatio, picture.scale);
  const coarse = levelTiles(picture.page, extent, 0, window);
  if (level === 0) return coarse;
  const middle = { x: window.x + window.width / 2, y: window.y + window.height / 2 };
  const distance = ({ window: { x, y, width, height } }: Tile) =>
    Math.hypot(x + width / 2 - middle.x, y + height / 2 - middle.y);
  const sharp = levelTiles(picture.page, extent, level, window);
  return [...coarse, ...sharp.toSorted((a, b) => distance(a) - distance(b))];
}
