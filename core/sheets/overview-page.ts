import { type Item, type RasterPicture, THICK } from '../drawing/drawing.ts';
import { sizeFromCap, styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type Cell, type ListEntry, listBlock, tableBlock } from './blocks.ts';
import { columnPages, columnsOf } from './column-pages.ts';
import { type FilledPages, fewestPages, pagesFilled, SPACINGS, spacedContext } from './fewest-pages.ts';
import { blockInNewColumn, type FlowBlock } from './flow.ts';
import { arrowItem, bodyRect, type PageDraft, type PageHead } from './page-frame.ts';
import { seamItems, seamStroke } from './seam-symbols.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetSize, UNIT_NAME } from './sheet-length.ts';
import { largestScale, scaleDesignation } from './sheet-scale.ts';

const CAPTION_MM: Mm = 9;
const TILE_GAP_MM: Mm = 8;
const MIN_TILE_MM: Mm = 46;
/** Shares of the body that the pictures may take, the rest is for the lists: small pictures where that saves a page. */
const PICTURE_SHARES: readonly number[] = [0.68, 0.26];

/** The table of sides and short lists on the left, what to mind on the right. */
const COLUMNS = 2;

/** Common practice, no source. */
const SEAM_ENTRIES: readonly ListEntry[] = [
  'Front part over rear part, upper over lower, unless the seam says otherwise.',
  'Where two sides wrap one corner, the side that you install later lies on top.',
].map((text) => ({ mark: '•', text }));

/** What holds for the whole job. */
export interface JobBlocks {
  readonly cautions: FlowBlock;
  readonly others: readonly FlowBlock[];
}

interface Tile {
  readonly layout: SideLayout;
  readonly rect: Rect;
}

/** The whole unit on one page: every side at the same scale, which way it drives, how many panels it takes. */
export function overviewPages(
  context: SheetContext,
  layouts: readonly SideLayout[],
  artworkOf: (layout: SideLayout) => RasterPicture | undefined,
  blocksOf: (context: SheetContext) => JobBlocks,
): readonly PageDraft[] {
  const ways = PICTURE_SHARES.flatMap((share) =>
    SPACINGS.map((spacing) => () => {
      const spaced = spacedContext(context, spacing);
      const { cautions, others } = blocksOf(spaced);
      const seams = listBlock(spaced, 'Seams and corners', SEAM_ENTRIES);
      return overviewWith(spaced, layouts, artworkOf, share, [seams, ...others, blockInNewColumn(cautions)]);
    }),
  );
  return fewestPages(ways);
}

function overviewWith(
  context: SheetContext,
  layouts: readonly SideLayout[],
  artworkOf: (layout: SideLayout) => RasterPicture | undefined,
  picturesShare: number,
  blocks: readonly FlowBlock[],
): FilledPages {
  const body = bodyRect(context.size);
  const room: Rect = { ...body, height: body.height * picturesShare };
  const oneTo = largestScale((scale) => tilesPlaced(layouts, room, scale) !== undefined);
  const tiles = tilesPlaced(layouts, room, oneTo) ?? [];
  const count = layouts.reduce((sum, { panels }) => sum + panels.length, 0);
  const head: PageHead = {
    title: `${context.job.vehicle.unitNumber} · ${layouts.length} sides · ${count} panels`,
    scale: scaleDesignation(oneTo),
  };
  const first: PageDraft = {
    head,
    items: tiles.flatMap(({ layout, rect }) => tileItems(context, layout, rect, oneTo, artworkOf(layout))),
  };
  const bottom = Math.max(body.y, ...tiles.map(({ rect }) => rect.y + rect.height)) + 5;
  const free = columnsOf(first, body.x, bottom, body.width, body.y + body.height - bottom, COLUMNS);
  const columns = columnPages(context, head.title, COLUMNS, { page: first, columns: free });
  return pagesFilled(context, [sidesTable(context, layouts), ...blocks], columns);
}

/** Rows of sides from the top left; undefined where they do not fit. */
function tilesPlaced(layouts: readonly SideLayout[], room: Rect, oneTo: number): Tile[] | undefined {
  const tiles: Tile[] = [];
  let [x, y, rowHeight] = [room.x, room.y, 0];
  for (const layout of layouts) {
    const width = Math.max(MIN_TILE_MM, layout.outline.width / oneTo);
    const height = CAPTION_MM + layout.outline.height / oneTo;
    if (x > room.x && x + width > room.x + room.width) {
      [x, y, rowHeight] = [room.x, y + rowHeight + TILE_GAP_MM, 0];
    }
    if (width > room.width || y + height > room.y + room.height) return undefined;
    tiles.push({ layout, rect: { x, y, width, height } });
    x += width + TILE_GAP_MM;
    rowHeight = Math.max(rowHeight, height);
  }
  return tiles;
}

function tileItems(
  { fonts }: SheetContext,
  layout: SideLayout,
  rect: Rect,
  oneTo: number,
  artwork: RasterPicture | undefined,
): Item[] {
  const { side, outline, panels, seams } = layout;
  const picture: Rect = {
    x: rect.x,
    y: rect.y + CAPTION_MM,
    width: outline.width / oneTo,
    height: outline.height / oneTo,
  };
  const arrowMm = side.front === 'none' ? 0 : 12;
  const caption = textFitted(
    fonts,
    `${side.code} ${side.name}`,
    styleOf('bold', 6),
    rect.width - arrowMm - (arrowMm ? 3 : 0),
    3,
  );
  const captionX = side.front === 'left' ? rect.x + arrowMm + 3 : rect.x;
  const baseline = rect.y + CAPTION_MM - 2.6;
  const items: Item[] = [];
  if (caption) {
    const line = textLine(fonts, caption.text, caption.style, {
      at: { x: captionX, y: baseline },
      tag: `side ${side.code}`,
    });
    items.push(line);
    const arrowY = baseline - 2;
    if (side.front === 'left') items.push(arrowItem(rect.x + arrowMm, arrowY, arrowMm, 'left', 5));
    if (side.front === 'right') {
      items.push(arrowItem(captionX + line.widthMm + 3, arrowY, arrowMm, 'right', 5));
    }
  }
  if (artwork) items.push({ kind: 'picture', tag: 'artwork', rect: picture, picture: artwork });
  for (const seam of seams) {
    const stroke = seamStroke(seam, outline, picture, oneTo);
    if (stroke) items.push(...seamItems(stroke));
  }
  items.push({ kind: 'rect', tag: 'outline', rect: picture, stroke: THICK });
  const onSheet = (r: Rect): Rect => ({
    x: picture.x + r.x / oneTo,
    y: picture.y + r.y / oneTo,
    width: r.width / oneTo,
    height: r.height / oneTo,
  });
  const lettering = side.noSeamAreas.map((area) => onSheet(rectFromStored(area.rect)));
  for (const panel of panels) {
    items.push(...smallNumber(fonts, String(panel.number), onSheet(panel.net), lettering, side.code));
  }
  return items;
}

/** A number in that corner of its panel which is clear of lettering; as large as the panel lets it, 5 mm at most. */
function smallNumber(
  fonts: SheetContext['fonts'],
  number: string,
  net: Rect,
  lettering: readonly Rect[],
  code: string,
): Item[] {
  const size = Math.min(
    sizeFromCap(5),
    (net.height - 1) / 1.3,
    (net.width - 1) / fonts.width(number, 'bold', 1) / 1.15,
  );
  if (size < sizeFromCap(1.4)) return [];
  const [width, height] = [fonts.width(number, 'bold', size) + size * 0.15, size * 1.2];
  const [insetX, insetY] = [Math.min(1, (net.width - width) / 2), Math.min(1, (net.height - height) / 2)];
  const corners = [insetX, net.width - width - insetX].flatMap((x) =>
    [insetY, net.height - height - insetY].map((y): Rect => ({ x: net.x + x, y: net.y + y, width, height })),
  );
  const rect =
    corners.find((corner) => lettering.every((area) => !rectIntersection(area, corner))) ?? corners[0]!;
  const tag = `number ${code} ${number}`;
  const at = { x: rect.x + rect.width / 2, y: rect.y + rect.height / 2 + sizeFromCap(size) * 0.255 };
  return [
    { kind: 'rect', tag, rect, fill: { black: 0 } },
    textLine(fonts, number, styleOf('bold', size), { at, anchor: 'middle', tag }),
  ];
}

function sidesTable(context: SheetContext, layouts: readonly SideLayout[]) {
  const { job } = context;
  const rows = layouts.map(({ side, outline, panels, seams }, index): Cell[] => [
    { text: String(index + 1), style: styleOf('bold', 5.6) },
    { text: side.code, style: styleOf('bold', 5.6) },
    { text: side.name },
    { text: String(panels.length), style: styleOf('bold', 5.6) },
    { text: String(seams.length) },
    { text: sheetSize(outline, job.displayUnit) },
    { text: side.front === 'none' ? 'none' : `on the ${side.front}` },
  ]);
  return tableBlock(
    context,
    `Sides in install order, sizes in ${UNIT_NAME[job.displayUnit]}, width × height`,
    [
      { head: 'Install', share: 0.12, anchor: 'middle' },
      { head: 'Side', share: 0.11 },
      { head: 'Name', share: 0.22 },
      { head: 'Panels', share: 0.1, anchor: 'middle' },
      { head: 'Seams', share: 0.1, anchor: 'middle' },
      { head: 'Finished size', share: 0.2 },
      { head: 'Front', share: 0.15 },
    ],
    rows,
  );
}
