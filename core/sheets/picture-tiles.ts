import { BLACK, CAP_HEIGHT, type FontRole, type Item, PAPER, type Stroke, THIN } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap, styleOf, textLine } from '../drawing/text-block.ts';
import type { Panel } from '../layout/panel.ts';
import { firstOf } from '../measure/present.ts';
import { type Point, type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Placer } from './placer.ts';

/** White tiles with text on a picture: panel numbers, names of no-film areas, which panel is on top. */
export interface TileLine {
  readonly text: string;
  readonly role: FontRole;
  readonly sizeMm: Mm;
}

const TILE_PAD_MM: Mm = 0.9;

/** Size of a white tile with lines of text in the middle. */
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

/** What text on a picture gives way to, where it can. */
export interface ToAvoid {
  readonly noFilmAreas: readonly Rect[];
  readonly lettering: readonly Rect[];
}

const isClearOf = (areas: readonly Rect[], tile: Rect): boolean =>
  areas.every((area) => !rectIntersection(area, tile));

const isSameRect = (a: Rect, b: Rect): boolean =>
  a.x === b.x && a.y === b.y && a.width === b.width && a.height === b.height;

/** Heights of the capitals of panel numbers, largest first; 10 mm is read across a bay. */
const NUMBER_CAPS: readonly Mm[] = [14, 12, 10, 8, 7, 6, 5, 4.2, 3.5, 3, 2.5, 2, 1.6, 1.2, 0.9];
/** A number keeps this far from the seams of its panel, and clear of their teeth. */
const ROOM_INSET_MM: Mm = 1.2;
const NUMBER_FRAME: Stroke = { widthMm: 0.5, black: 1 };
/** A number is placed on lettering rather than made smaller than this. */
const LEAST_CLEAR_CAP_MM: Mm = 3.5;
/** A number on lettering is read from 2 m, and hides no more of it than that takes. */
const MOST_COVERING_CAP_MM: Mm = 5;
/** From this height on, the full label is under the number. */
const LABEL_FROM_CAP: Mm = 6;

/**
 * The number of a panel, as large as its room lets it, in a corner, so that the lettering that a crew lines up by stays in
 * sight: clear of no-film areas and of lettering, else of no-film areas alone. Reversed on a panel that is made again.
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
      // Where numbers follow the reading order, the install order must be said as well.
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

/** Height of the capitals of a panel's number in the given room, 0 where none fits. */
export function numberCap(fonts: FontMetrics, number: string, room: { width: Mm; height: Mm }): Mm {
  const fitting = NUMBER_CAPS.find((cap) => {
    const size = tileSize(fonts, [{ text: number, role: 'bold', sizeMm: sizeFromCap(cap) }]);
    return size.width <= room.width - 2 * ROOM_INSET_MM && size.height <= room.height - 2 * ROOM_INSET_MM;
  });
  return fitting ?? 0;
}

/** Places for a tile in a room: the corners first, then along its edges, then inward. */
function tilesFromCorners(room: Rect, size: { width: Mm; height: Mm }): Rect[] {
  const depth = (tile: Rect) => {
    const across = Math.min(tile.x - room.x, room.x + room.width - tile.x - tile.width);
    const down = Math.min(tile.y - room.y, room.y + room.height - tile.y - tile.height);
    return across + down;
  };
  return tilesWithin(room, size).toSorted((a, b) => depth(a) - depth(b) || a.y - b.y || a.x - b.x);
}

/** Places for a tile in a room: the middle first, then ever farther from it. */
function tilesWithin(room: Rect, size: { width: Mm; height: Mm }): Rect[] {
  if (size.width > room.width || size.height > room.height) return [];
  const [across, down] = [room.width - size.width, room.height - size.height];
  return stepsAlong(across)
    .flatMap((h) => stepsAlong(down).map((v) => ({ h, v })))
    .sort((a, b) => Math.hypot(a.h - 0.5, a.v - 0.5) - Math.hypot(b.h - 0.5, b.v - 0.5))
    .map(({ h, v }) => ({ x: room.x + across * h, y: room.y + down * v, ...size }));
}

/** A tile moves away from a text at the edge of its room by no more than the depth of that text. */
const TEXT_DEPTHS_MM: readonly Mm[] = [2.2, 3.4, 5];

/** Shares of a length at which a tile may be: coarse steps inside, finer ones at both ends. */
function stepsAlong(lengthMm: Mm): readonly number[] {
  const ends = TEXT_DEPTHS_MM.filter((depth) => depth < lengthMm / 2).map((depth) => depth / lengthMm);
  return [0.5, 0.4, 0.6, 0.25, 0.75, 0.1, 0.9, 0, 1, ...ends, ...ends.map((share) => 1 - share)];
}

/** Capitals of 5 mm, read from 2 m; half as high where the area is small. */
const KEY_MM: Mm = sizeFromCap(5);
const SMALL_KEY_MM: Mm = sizeFromCap(3.5);

/**
 * The key and, where there is room, the name of a no-film area; a small no-film area has its key beside it, where it can
 * be clear of lettering and of other areas.
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

const nearestPoint = ({ x, y, width, height }: Rect, to: Point): Point => ({
  x: Math.max(x, Math.min(to.x, x + width)),
  y: Math.max(y, Math.min(to.y, y + height)),
});

const KEY_FRAME: Stroke = { widthMm: 0.18, black: 1 };
/** Tiles to each side in which a key is looked a place for. */
const TILES_AWAY = 5;

/** Places in the picture around a point, the nearest first. */
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
 * Places beside an area that lie in the picture: above, below, left and right of it, then farther along. At an edge of the
 * picture they move along the area.
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

const SEAM_TEXT_SIZES: readonly Mm[] = [sizeFromCap(3.5), 4.2, 3.5, 2.8];

/** A stretch along which two panels meet, as it is drawn, and what is written on it. */
export interface SeamStretch {
  readonly text: string;
  readonly from: Point;
  readonly lengthMm: Mm;
  readonly isVertical: boolean;
  /** Where it slopes or curves: its offset across from `from`, at a distance along. */
  readonly offAt?: (along: Mm) => Mm;
  /** Of the two panels across the seam, the smaller. */
  readonly depthMm: Mm;
}

/**
 * Which panel is on top, printed on the seam itself, as near to the middle of the stretch as is free; where the stretch
 * or a panel beside it has no room for that, beside the seam with a line that leads to it, or it would be read at
 * another seam. It avoids other text, and where there is room no-film areas and lettering, too.
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

const LEADER_STROKES: readonly Stroke[] = [
  { widthMm: 1, black: PAPER.black },
  { widthMm: 0.35, black: 1 },
];
const DOT_MM: Mm = 0.7;

interface Leader {
  readonly from: Point;
  readonly to: Point;
  readonly lengthMm: Mm;
  /** Whether it crosses no other text. */
  readonly isFree: boolean;
}

/** Along a longer one the eye loses its way. */
const LONGEST_LEADER_MM: Mm = 10;

/** A line from a tile to its seam: square to the seam where possible, and where possible across no other text. */
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

/** What a line takes of the picture. */
const leaderPath = ({ from, to }: Pick<Leader, 'from' | 'to'>): Rect => ({
  x: Math.min(from.x, to.x),
  y: Math.min(from.y, to.y),
  width: Math.max(0.1, Math.abs(from.x - to.x)),
  height: Math.max(0.1, Math.abs(from.y - to.y)),
});

/** A line with a dot on its target; none where the tile is on the target. */
function leaderItems({ from, to, lengthMm }: Omit<Leader, 'isFree'>, tag: string): Item[] {
  if (lengthMm < DOT_MM) return [];
  const corners = [
    [-1, 0],
    [0, -1],
    [1, 0],
    [0, 1],
  ] as const;
  return [
    ...LEADER_STROKES.map((stroke): Item => ({ kind: 'line', tag, from, to, stroke })),
    {
      kind: 'polygon',
      tag,
      points: corners.map(([x, y]) => ({ x: to.x + x * DOT_MM, y: to.y + y * DOT_MM })),
      fill: BLACK,
    },
  ];
}

function tileMovedInto(tile: Rect, picture: Rect): Rect {
  const within = (at: Mm, size: Mm, from: Mm, room: Mm) => Math.max(from, Math.min(at, from + room - size));
  return {
    ...tile,
    x: within(tile.x, tile.width, picture.x, picture.width),
    y: within(tile.y, tile.height, picture.y, picture.height),
  };
}
