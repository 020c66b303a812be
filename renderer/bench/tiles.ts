/**
 * The artwork as a pyramid of tiles. Level 0 is the whole page in one small picture; each level above doubles
 * the resolution. All tiles of a level lie on one grid from the page's corner, so that they can be kept and
 * used again at any pan. Pure: no DOM.
 */

import { type Rect, rectIntersection } from '../../core/measure/rect.ts';
import { COARSE_PX, coarsePictureWidth } from '../../core/preview/coarse-picture.ts';
import type { PlacedPicture } from './sides-placed.ts';
import type { PxSize, Viewport } from './viewport.ts';
import { viewportRect } from './viewport.ts';

export interface Tile {
  /** Names the tile within its page: level, column, row. */
  readonly key: string;
  readonly page: number;
  readonly level: number;
  readonly window: Rect<'drawn'>;
  readonly widthPx: number;
  /** Place in the grid of its level. */
  readonly column: number;
  readonly row: number;
}

/** Neighboring tiles as one picture, for a page on which a small picture costs as much as a large one. */
export interface TileBlock {
  readonly page: number;
  readonly window: Rect<'drawn'>;
  readonly widthPx: number;
  /** Where each tile is in the picture. */
  readonly parts: readonly {
    readonly tile: Tile;
    readonly xPx: number;
    readonly yPx: number;
    readonly widthPx: number;
    readonly heightPx: number;
  }[];
}

export const TILE_PX = 512;
/** Finer resolution at finished size, about 200 ppi, shows nothing more. */
const SHARPEST_PX_PER_FINISHED_MM = 8;
/** A tile may be shown enlarged by up to this before the next level is asked for. */
const SLACK = 1.15;

/** Pixels per drawn mm of a level. */
export const levelPxPerMm = (extent: Rect<'drawn'>, level: number): number =>
  (COARSE_PX / Math.max(extent.width, extent.height)) * 2 ** level;

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
    const widthPx = coarsePictureWidth(extent);
    return [{ key: '0', page, level, window: extent, widthPx, column: 0, row: 0 }];
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
      tiles.push({ key: `${level}/${column}/${row}`, page, level, window: tile, widthPx, column, row });
    }
  }
  return tiles;
}

/** Tiles along the edge of a block: its picture has 2,048 pixels at most. */
const BLOCK_TILES = 4;

/** Whether two tiles can be drawn as parts of one picture. */
export function isSameBlock(a: Tile, b: Tile): boolean {
  const place = (at: number) => Math.floor(at / BLOCK_TILES);
  return (
    a.page === b.page &&
    a.level === b.level &&
    place(a.column) === place(b.column) &&
    place(a.row) === place(b.row)
  );
}

/** One picture for tiles of one block. */
export function tileBlock(tiles: readonly [Tile, ...Tile[]]): TileBlock {
  const x = Math.min(...tiles.map(({ window }) => window.x));
  const y = Math.min(...tiles.map(({ window }) => window.y));
  const width = Math.max(...tiles.map(({ window }) => window.x + window.width)) - x;
  const height = Math.max(...tiles.map(({ window }) => window.y + window.height)) - y;
  // Tiles away from the rim are whole, so theirs is the truest resolution.
  const truest = tiles.reduce((best, tile) => (tile.widthPx > best.widthPx ? tile : best));
  const pxPerMm = truest.widthPx / truest.window.width;
  const px = (mm: number) => Math.round(mm * pxPerMm);
  return {
    page: tiles[0].page,
    window: { x, y, width, height } as Rect<'drawn'>,
    widthPx: Math.max(1, px(width)),
    parts: tiles.map((tile) => ({
      tile,
      xPx: px(tile.window.x - x),
      yPx: px(tile.window.y - y),
      widthPx: Math.max(1, px(tile.window.width)),
      heightPx: Math.max(1, px(tile.window.height)),
    })),
  };
}

/** The stretch of drawn space of a picture that the window shows. */
export function drawnWindow(picture: PlacedPicture, view: Viewport, size: PxSize): Rect<'drawn'> | undefined {
  const seen = viewportRect(view, size);
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
