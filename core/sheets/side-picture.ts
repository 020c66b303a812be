import type { SideLayout } from '../layout/side-layout.ts';
import { EDGES, type Edge, type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import {
  CAP_HEIGHT,
  type FontRole,
  type Item,
  PAPER,
  type RasterPicture,
  type Stroke,
  THICK,
  THIN,
} from './drawing/drawing.ts';
import type { FontMetrics } from './drawing/font-library.ts';
import { sizeFromCap, styleOf, textLine } from './drawing/text-block.ts';
import { type EdgeLabel, edgeBandDepth, edgeLabelItems } from './edge-labels.ts';
import { Placer } from './placer.ts';
import { seamItems, seamStroke } from './seam-symbols.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLength } from './sheet-length.ts';
import { meetingText, type SideKeys, seamFromLine, seamFromZero, seamMeetings } from './side-keys.ts';

/** A picture of one side with everything an installer measures and lays by. */
export interface SidePicture {
  /** Room taken on the sheet, with the bands of labels around the side. */
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  draw(xMm: Mm, yMm: Mm): readonly Item[];
}

/** The depth of the label bands around a side; they have the same depth at every scale. */
export type Bands = Readonly<Record<Edge, Mm>>;

export interface SidePictureParts {
  readonly context: SheetContext;
  readonly layout: SideLayout;
  readonly keys: SideKeys;
  readonly artwork: RasterPicture | undefined;
}

const BODY_LINE: Stroke = { widthMm: 0.35, black: 1, dashMm: [5, 1, 0.6, 1] };

export function sideLabels({ context, layout, keys }: SidePictureParts): EdgeLabel[] {
  const { job } = context;
  const { outline } = layout;
  const seams = keys.seams.map(({ key, seam }): EdgeLabel => {
    const fromLine = seamFromLine(layout, keys, seam, job.displayUnit);
    const distance = sheetLength(seamFromZero(layout, seam), job.displayUnit);
    const text = `${key}  ${distance}${fromLine ? ` · ${fromLine}` : ''}`;
    const isVertical = seam.direction === 'vertical';
    const isAtStart = seam.span.start <= (isVertical ? outline.y : outline.x) + 1;
    const end = isVertical ? outline.y + outline.height : outline.x + outline.width;
    const isAtEnd = seam.span.end >= end - 1;
    const [startEdge, endEdge]: [Edge, Edge] = isVertical ? ['top', 'bottom'] : ['left', 'right'];
    return { edge: !isAtStart && isAtEnd ? endEdge : startEdge, atMm: seam.at, text, isStrong: true };
  });
  const lines = keys.lines.map(({ key, line }): EdgeLabel => {
    const isVertical = line.direction === 'vertical';
    return {
      edge: isVertical ? 'bottom' : 'right',
      atMm: line.atMm,
      text: `${key} ${line.name}`,
      isStrong: false,
    };
  });
  const length = (edge: Edge) => (edge === 'top' || edge === 'bottom' ? outline.width : outline.height);
  return [...seams, ...lines].filter(({ atMm, edge }) => atMm >= 0 && atMm <= length(edge));
}

/** The bands around a side, with labels in lettering of this size. */
export function sideBands(parts: SidePictureParts, labelMm: Mm): Bands {
  const labels = sideLabels(parts);
  const depth = (edge: Edge) => edgeBandDepth(parts.context.fonts, labels, edge, labelMm);
  return { top: depth('top'), right: depth('right'), bottom: depth('bottom'), left: depth('left') };
}

export function sidePicture(parts: SidePictureParts, oneTo: number, labelMm: Mm): SidePicture {
  const { outline } = parts.layout;
  const bands = sideBands(parts, labelMm);
  const width = outline.width / oneTo;
  const height = outline.height / oneTo;
  return {
    widthMm: bands.left + width + bands.right,
    heightMm: bands.top + height + bands.bottom,
    draw: (x, y) =>
      pictureItems(parts, oneTo, labelMm, { x: x + bands.left, y: y + bands.top, width, height }),
  };
}

function pictureItems(parts: SidePictureParts, oneTo: number, labelMm: Mm, picture: Rect): Item[] {
  const { context, layout, keys, artwork } = parts;
  const { fonts } = context;
  const onSheet = (r: Rect): Rect => ({
    x: picture.x + r.x / oneTo,
    y: picture.y + r.y / oneTo,
    width: r.width / oneTo,
    height: r.height / oneTo,
  });
  const openings = keys.openings.flatMap(({ key, opening: { rect, name } }) => {
    const visible = rectIntersection(
      onSheet({ x: rect.xMm, y: rect.yMm, width: rect.widthMm, height: rect.heightMm }),
      picture,
    );
    return visible ? [{ key, name, rect: visible }] : [];
  });
  const labels = sideLabels(parts);
  const placer = new Placer();
  return [
    ...(artwork ? [{ kind: 'picture', tag: 'artwork', rect: picture, picture: artwork } as const] : []),
    ...openings.flatMap(({ rect }) => freeAreaItems(rect)),
    ...keys.lines.map(({ line }) => bodyLineItem(line, picture, oneTo)),
    ...keys.seams.flatMap(({ seam }) => seamItems(seamStroke(seam, picture, oneTo))),
    { kind: 'rect', tag: 'outline', rect: picture, stroke: THICK },
    {
      kind: 'circle',
      tag: 'zero',
      centre: { x: picture.x, y: picture.y + picture.height },
      radiusMm: 1.3,
      fill: PAPER,
      stroke: { widthMm: 0.5, black: 1 },
    },
    ...layout.panels.flatMap((panel) =>
      numberItems(
        fonts,
        String(panel.number),
        panel.label,
        onSheet(panel.net),
        openings.map(({ rect }) => rect),
        placer,
      ),
    ),
    ...openings.flatMap(({ key, name, rect }) => openingTextItems(fonts, key, name, rect, picture, placer)),
    ...keys.seams.flatMap(({ seam }) =>
      seamMeetings(layout, seam).flatMap((meeting) => {
        const { from } = seamStroke(seam, picture, oneTo);
        const isVertical = seam.direction === 'vertical';
        const start = (isVertical ? picture.y : picture.x) + meeting.along.start / oneTo;
        const length = (meeting.along.end - meeting.along.start) / oneTo;
        return seamTextItems(fonts, meetingText(seam, meeting), from, start, length, isVertical, placer);
      }),
    ),
    ...EDGES.flatMap((edge) => edgeLabelItems(fonts, labels, edge, picture, oneTo, labelMm)),
  ];
}

/** White, hatched, outlined: an area that stays free of film. */
export function freeAreaItems(rect: Rect): Item[] {
  const tag = 'opening';
  const spacing = 2.4;
  const { x, y, width, height } = rect;
  const hatch: Item[] = [];
  // Lines u = x + y at 45°, clipped to the rectangle.
  for (let u = spacing; u < width + height; u += spacing) {
    hatch.push({
      kind: 'line',
      tag,
      from: { x: x + Math.max(0, u - height), y: y + Math.min(u, height) },
      to: { x: x + Math.min(u, width), y: y + Math.max(0, u - width) },
      stroke: { widthMm: 0.13, black: 1 },
    });
  }
  return [
    { kind: 'rect', tag, rect, fill: PAPER },
    ...hatch,
    { kind: 'rect', tag, rect, stroke: { widthMm: 0.35, black: 1 } },
  ];
}

function bodyLineItem(line: SideKeys['lines'][number]['line'], picture: Rect, oneTo: number): Item {
  const isVertical = line.direction === 'vertical';
  const length = isVertical ? picture.height : picture.width;
  const clamp = (mm: Mm) => Math.min(Math.max(0, mm / oneTo), length);
  const from = clamp(line.extent?.fromMm ?? 0);
  const to = line.extent ? clamp(line.extent.toMm) : length;
  const at = line.atMm / oneTo;
  const across = Math.min(Math.max(0, at), isVertical ? picture.width : picture.height);
  return {
    kind: 'line',
    tag: 'body line',
    from: isVertical
      ? { x: picture.x + across, y: picture.y + from }
      : { x: picture.x + from, y: picture.y + across },
    to: isVertical
      ? { x: picture.x + across, y: picture.y + to }
      : { x: picture.x + to, y: picture.y + across },
    stroke: BODY_LINE,
  };
}

interface TileLine {
  readonly text: string;
  readonly role: FontRole;
  readonly sizeMm: Mm;
}

const TILE_PAD_MM: Mm = 0.9;

/** Size of a white tile with lines of text in the middle. */
function tileSize(fonts: FontMetrics, lines: readonly TileLine[]): { width: Mm; height: Mm } {
  const widths = lines.map(({ text, role, sizeMm }) => fonts.width(fonts.printable(text), role, sizeMm));
  const heights = lines.map(({ sizeMm }) => sizeMm * 1.2);
  return {
    width: Math.max(...widths) + 2 * TILE_PAD_MM,
    height: heights.reduce((a, b) => a + b, 0) + TILE_PAD_MM * 0.6,
  };
}

function tileItems(
  fonts: FontMetrics,
  lines: readonly TileLine[],
  rect: Rect,
  tag: string,
  isTurned: boolean,
  stroke?: Stroke,
): Item[] {
  const total = lines.reduce((sum, { sizeMm }) => sum + sizeMm * 1.2, 0);
  let across = ((isTurned ? rect.width : rect.height) - total) / 2;
  const texts = lines.map(({ text, role, sizeMm }) => {
    const base = across + (sizeMm * 1.2 + sizeMm * CAP_HEIGHT) / 2;
    across += sizeMm * 1.2;
    const at = isTurned
      ? { x: rect.x + base, y: rect.y + rect.height / 2 }
      : { x: rect.x + rect.width / 2, y: rect.y + base };
    return textLine(fonts, text, styleOf(role, sizeMm), {
      at,
      anchor: 'middle',
      turn: isTurned ? 90 : 0,
      tag,
    });
  });
  return [{ kind: 'rect', tag, rect, fill: PAPER, ...(stroke ? { stroke } : {}) }, ...texts];
}

/** Heights of the capitals of panel numbers, largest first; 10 mm is read across a bay. */
const NUMBER_CAPS: readonly Mm[] = [14, 12, 10, 8, 7, 6, 5, 4.2, 3.5, 3, 2.5, 2, 1.6, 1.2, 0.9];
/** At this height and above the full label stands under the number. */
const LABEL_FROM_CAP: Mm = 6;

function numberItems(
  fonts: FontMetrics,
  number: string,
  label: string,
  panel: Rect,
  openings: readonly Rect[],
  placer: Placer,
): Item[] {
  const room: Rect = {
    x: panel.x + 1.2,
    y: panel.y + 1.2,
    width: Math.max(0.4, panel.width - 2.4),
    height: Math.max(0.4, panel.height - 2.4),
  };
  for (const avoid of [openings, []]) {
    for (const cap of NUMBER_CAPS) {
      const big: TileLine = { text: number, role: 'bold', sizeMm: sizeFromCap(cap) };
      const lines: TileLine[] =
        cap >= LABEL_FROM_CAP
          ? [big, { text: label, role: 'bold', sizeMm: Math.max(3.5, cap * 0.42) }]
          : [big];
      const size = tileSize(fonts, lines);
      const candidates = tilesWithin(room, size).filter((tile) =>
        avoid.every((opening) => !rectIntersection(opening, tile)),
      );
      const tile = placer.place(candidates);
      if (tile) return tileItems(fonts, lines, tile, `number ${label}`, false, { widthMm: 0.5, black: 1 });
    }
  }
  return [];
}

/** Places for a tile in a room: the middle first, then ever farther from it. */
function tilesWithin(room: Rect, size: { width: Mm; height: Mm }): Rect[] {
  if (size.width > room.width || size.height > room.height) return [];
  const steps = [0.5, 0.4, 0.6, 0.25, 0.75, 0.1, 0.9, 0, 1];
  return steps
    .flatMap((h) => steps.map((v) => ({ h, v })))
    .sort((a, b) => Math.hypot(a.h - 0.5, a.v - 0.5) - Math.hypot(b.h - 0.5, b.v - 0.5))
    .map(({ h, v }) => ({
      x: room.x + (room.width - size.width) * h,
      y: room.y + (room.height - size.height) * v,
      ...size,
    }));
}

/** The key and, where there is room, the name of an opening; a small opening has its key beside it. */
function openingTextItems(
  fonts: FontMetrics,
  key: string,
  name: string,
  opening: Rect,
  picture: Rect,
  placer: Placer,
): Item[] {
  const tag = `opening ${key}`;
  const within: Rect = {
    x: opening.x + 0.4,
    y: opening.y + 0.4,
    width: opening.width - 0.8,
    height: opening.height - 0.8,
  };
  const both: TileLine[] = [{ text: `${key} ${name}`, role: 'bold', sizeMm: 3.5 }];
  const stacked: TileLine[] = [
    { text: key, role: 'bold', sizeMm: 3.5 },
    { text: name, role: 'regular', sizeMm: 3 },
  ];
  const alone = (sizeMm: Mm): TileLine[] => [{ text: key, role: 'bold', sizeMm }];
  for (const lines of [both, stacked, alone(3.5), alone(2.8)]) {
    const tile = placer.place(tilesWithin(within, tileSize(fonts, lines)));
    if (tile) return tileItems(fonts, lines, tile, tag, false);
  }
  const size = tileSize(fonts, alone(2.8));
  const { x, y, width, height } = opening;
  const middleX = x + width / 2 - size.width / 2;
  const middleY = y + height / 2 - size.height / 2;
  const beside = [
    { x: middleX, y: y - size.height - 0.6 },
    { x: middleX, y: y + height + 0.6 },
    { x: x - size.width - 0.6, y: middleY },
    { x: x + width + 0.6, y: middleY },
  ].map((at): Rect => ({ ...at, ...size }));
  const inside = beside.filter((tile) => {
    const shared = rectIntersection(tile, picture);
    return shared && Math.abs(shared.width - tile.width) + Math.abs(shared.height - tile.height) < 1e-6;
  });
  const tile = placer.place(inside);
  return tile ? tileItems(fonts, alone(2.8), tile, tag, false, { widthMm: 0.18, black: 1 }) : [];
}

/** Which panel lies on which, on the seam itself, as near to the middle of the stretch as is free. */
function seamTextItems(
  fonts: FontMetrics,
  text: string,
  on: { readonly x: Mm; readonly y: Mm },
  start: Mm,
  length: Mm,
  isVertical: boolean,
  placer: Placer,
): Item[] {
  for (const sizeMm of [4.4, 3.5, 2.8]) {
    const lines: TileLine[] = [{ text, role: 'bold', sizeMm }];
    const flat = tileSize(fonts, lines);
    if (flat.width > length - 1) continue;
    const candidates = [0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95].map((share): Rect => {
      const along = start + (length - flat.width) * share;
      return isVertical
        ? { x: on.x - flat.height / 2, y: along, width: flat.height, height: flat.width }
        : { x: along, y: on.y - flat.height / 2, width: flat.width, height: flat.height };
    });
    const tile = placer.place(candidates);
    if (tile) return tileItems(fonts, lines, tile, `seam text ${text}`, isVertical, THIN);
  }
  return [];
}
