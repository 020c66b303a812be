import { type Item, type RasterPicture, THICK } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap, styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { type Panel, panelInside } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { arrowItem } from './page-frame.ts';
import { Placer } from './placer.ts';
import { seamItems, seamStrokes } from './seam-symbols.ts';
import type { SheetContext } from './sheet-context.ts';
import { largestScale } from './sheet-scale.ts';

const CAPTION_MM: Mm = 9;
/** Height of a second line under the caption. */
const SECOND_LINE_MM: Mm = 7;
const TILE_GAP_MM: Mm = 8;
const MIN_TILE_MM: Mm = 46;

/** A small picture of a side under its caption. */
export interface SideTile {
  readonly layout: SideLayout;
  readonly rect: Rect;
  /** Part of the height for the caption, above the picture. */
  readonly captionMm: Mm;
}

export interface PlacedTiles {
  readonly oneTo: number;
  readonly tiles: readonly SideTile[];
}

/** Rows of sides from the top left, all at the largest ISO 5455 scale that fits. */
export function tilesInRoom(
  layouts: readonly SideLayout[],
  room: Rect,
  captionMm: Mm = CAPTION_MM,
): PlacedTiles {
  const oneTo = largestScale((scale) => tilesPlaced(layouts, room, scale, captionMm) !== undefined);
  return { oneTo, tiles: tilesPlaced(layouts, room, oneTo, captionMm) ?? [] };
}

/** The same in the largest type, with two lines above each side, for a page that nobody measures on. */
export function tilesFillingRoom(layouts: readonly SideLayout[], room: Rect): PlacedTiles {
  const captionMm = CAPTION_MM + SECOND_LINE_MM;
  let [fits, tooLarge] = [tilesInRoom(layouts, room, captionMm).oneTo, 1];
  for (let step = 0; step < 12; step += 1) {
    const middle = (fits + tooLarge) / 2;
    if (tilesPlaced(layouts, room, middle, captionMm)) fits = middle;
    else tooLarge = middle;
  }
  return { oneTo: fits, tiles: tilesPlaced(layouts, room, fits, captionMm) ?? [] };
}

/** How far a seam line may extend past the end of the picture. */
const SEAM_END_MM: Mm = 0.6;

/** Undefined where they do not fit. */
function tilesPlaced(
  layouts: readonly SideLayout[],
  room: Rect,
  oneTo: number,
  captionMm: Mm,
): SideTile[] | undefined {
  const tiles: SideTile[] = [];
  const left = room.x + SEAM_END_MM;
  const right = room.x + room.width - SEAM_END_MM;
  let [x, y, rowHeight] = [left, room.y, 0];
  for (const layout of layouts) {
    const width = Math.max(MIN_TILE_MM, layout.outline.width / oneTo);
    const height = captionMm + layout.outline.height / oneTo;
    if (x > left && x + width > right) {
      [x, y, rowHeight] = [left, y + rowHeight + TILE_GAP_MM, 0];
    }
    if (x + width > right || y + height > room.y + room.height) return undefined;
    tiles.push({ layout, rect: { x, y, width, height }, captionMm });
    x += width + TILE_GAP_MM;
    rowHeight = Math.max(rowHeight, height);
  }
  return tiles;
}

export interface TileLook {
  readonly caption: string;
  readonly secondLine?: string;
  readonly artwork: RasterPicture | undefined;
  readonly isFaint?: boolean;
  /** Largest capital height of panel numbers; 5 mm where absent. */
  readonly numberMm?: Mm;
  /** Drawn between artwork and numbers, at a panel's place on the sheet. */
  readonly onPanel?: (net: Rect, panel: Panel) => readonly Item[];
}

/** Caption with an arrow to the front, the side in color with its seams, and panel numbers. */
export function tileItems({ fonts }: SheetContext, tile: SideTile, oneTo: number, look: TileLook): Item[] {
  const { layout, rect } = tile;
  const { side, outline, panels, seams } = layout;
  const picture: Rect = {
    x: rect.x,
    y: rect.y + tile.captionMm,
    width: outline.width / oneTo,
    height: outline.height / oneTo,
  };
  const onSheet = (r: Rect): Rect => ({
    x: picture.x + r.x / oneTo,
    y: picture.y + r.y / oneTo,
    width: r.width / oneTo,
    height: r.height / oneTo,
  });
  const items: Item[] = captionItems(fonts, tile, look);
  if (look.artwork) {
    const { artwork, isFaint = false } = look;
    items.push({ kind: 'picture', tag: 'artwork', rect: picture, picture: artwork, isFaint });
  }
  for (const seam of seams) {
    items.push(...seamStrokes(seam, outline, picture, oneTo).flatMap(seamItems));
  }
  items.push({ kind: 'rect', tag: 'outline', rect: picture, stroke: THICK });
  for (const panel of panels) items.push(...(look.onPanel?.(onSheet(panel.net), panel) ?? []));
  const lettering = side.noSeamAreas.map((area) => onSheet(rectFromStored(area.rect)));
  const placer = new Placer();
  const largestMm = look.numberMm ?? USUAL_CAP_MM;
  // The smallest panels have the fewest places, so they come first.
  const bySize = panels.toSorted(
    (a, b) => Math.min(a.net.width, a.net.height) - Math.min(b.net.width, b.net.height),
  );
  for (const panel of bySize) {
    items.push(
      ...numberItems(
        fonts,
        String(panel.number),
        onSheet(panelInside(panel)),
        { lettering, picture, placer, largestMm },
        side.code,
      ),
    );
  }
  return items;
}

function captionItems(
  fonts: FontMetrics,
  { layout: { side }, rect }: { readonly layout: Pick<SideLayout, 'side'>; readonly rect: Rect },
  { caption, secondLine }: Pick<TileLook, 'caption' | 'secondLine'>,
): Item[] {
  if (secondLine !== undefined) {
    const tag = `side ${side.code}`;
    const line = textFitted(fonts, secondLine, styleOf('bold', 6), rect.width, 3);
    const at = { x: rect.x, y: rect.y + CAPTION_MM + SECOND_LINE_MM - 2.6 };
    return [
      ...captionItems(fonts, { layout: { side }, rect }, { caption }),
      ...(line ? [textLine(fonts, line.text, line.style, { at, tag })] : []),
    ];
  }
  const arrowMm = side.front === 'none' ? 0 : 12;
  const room = rect.width - arrowMm - (arrowMm ? 3 : 0);
  const fitted = textFitted(fonts, caption, styleOf('bold', 6), room, 3);
  if (!fitted) return [];
  const captionX = side.front === 'left' ? rect.x + arrowMm + 3 : rect.x;
  const baseline = rect.y + CAPTION_MM - 2.6;
  const tag = `side ${side.code}`;
  const line = textLine(fonts, fitted.text, fitted.style, { at: { x: captionX, y: baseline }, tag });
  const arrowY = baseline - 2;
  if (side.front === 'left') return [line, arrowItem(rect.x + arrowMm, arrowY, arrowMm, 'left', 5)];
  if (side.front === 'right') {
    return [line, arrowItem(captionX + line.widthMm + 3, arrowY, arrowMm, 'right', 5)];
  }
  return [line];
}

/** Capitals of numbers on a small picture, largest first. 2.5 mm is the smallest in ISO 3098 for a sheet like this. */
const NUMBER_CAPS: readonly Mm[] = [14, 10, 7, 5, 3.5, 2.5, 1.8];
const USUAL_CAP_MM: Mm = 5;
const SMALL_CAP_MM: Mm = 2.5;
const STEPS = [0, 0.14, 0.28, 0.42, 0.58, 0.72, 0.86, 1] as const;

interface NumberRoom {
  readonly lettering: readonly Rect[];
  readonly picture: Rect;
  readonly placer: Placer;
  readonly largestMm: Mm;
}

/**
 * A number in a corner of its panel that is clear of lettering. A panel narrower than its number has it across its
 * middle, at any free height, so that every panel has a number.
 */
function numberItems(
  fonts: FontMetrics,
  number: string,
  net: Rect,
  { lettering, picture, placer, largestMm }: NumberRoom,
  code: string,
): Item[] {
  const tag = `number ${code} ${number}`;
  const sizeAt = (cap: Mm) => {
    const size = sizeFromCap(cap);
    return { size, width: fonts.width(number, 'bold', size) + size * 0.15, height: size * 1.2 };
  };
  const drawn = (size: Mm, rect: Rect): Item[] => {
    const at = { x: rect.x + rect.width / 2, y: rect.y + rect.height / 2 + size * 0.357 };
    return [
      { kind: 'rect', tag, rect, fill: { black: 0 } },
      textLine(fonts, number, styleOf('bold', size), { at, anchor: 'middle', tag }),
    ];
  };
  for (const clear of [lettering, []]) {
    for (const cap of NUMBER_CAPS.filter((each) => each <= largestMm)) {
      const { size, width, height } = sizeAt(cap);
      if (width + 1 > net.width || height + 1 > net.height) continue;
      const corners = [0.5, net.width - width - 0.5].flatMap((x) =>
        [0.5, net.height - height - 0.5].map((y): Rect => ({ x: net.x + x, y: net.y + y, width, height })),
      );
      const isClear = (corner: Rect) => clear.every((area) => !rectIntersection(area, corner));
      const rect = placer.place(corners.filter(isClear));
      if (rect) return drawn(size, rect);
    }
  }
  for (const cap of NUMBER_CAPS.filter((each) => each <= SMALL_CAP_MM)) {
    const { size, width, height } = sizeAt(cap);
    const across = (share: number): Rect => {
      const middle = net.x + net.width / 2 - width / 2;
      return {
        x: Math.min(Math.max(middle, picture.x), Math.max(picture.x, picture.x + picture.width - width)),
        y: net.y + (net.height - height) * share,
        width,
        height,
      };
    };
    const rect = placer.place(STEPS.map(across));
    if (rect) return drawn(size, rect);
  }
  return [];
}
