import { BLACK, type Item, MEDIUM, THIN } from '../drawing/drawing.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { EDGE_LABEL_SIZES, type LabelWay } from './edge-labels.ts';
import { numberCap } from './number-tiles.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import { REDUCTION_SCALES, scaleDesignation } from './sheet-scale.ts';
import { type LabelLength, type SidePictureParts, sideBands, sidePicture } from './side-picture.ts';

/**
 * Capital height of numbers readable at arm's length; where the whole side gives less, it is repeated in larger parts.
 */
const READABLE_CAP_MM: Mm = 3.5;
const LABEL_MM: Mm = 5;
/** A scale between two standard ones often halves the pages of a side. */
export const BETWEEN_SCALE = 25;
const PART_SCALES: readonly number[] = [...REDUCTION_SCALES, BETWEEN_SCALE].toSorted((a, b) => a - b);
/** More parts than this do not help. */
const MAX_PARTS = 16;
/** Size of the small map: below the picture, or in the corner beside it. */
const KEY_MAP_MM: Mm = 14;
const KEY_MAP_BESIDE_MM: Mm = 30;
const KEY_MAP_GAP_MM: Mm = 3;

/** Layout of a part on its page. Labels are shortened where that saves pages, because the tables have them in full. */
interface PartWay {
  readonly labels: LabelLength;
  readonly isKeyMapBeside: boolean;
  /** Label layouts for dividing the side; each part then gets the largest that fits. */
  readonly isFlat: boolean;
}

const PART_WAYS: readonly PartWay[] = [false, true].flatMap((isFlat) =>
  (['cut', 'short'] as const).flatMap((labels) =>
    [false, true].map((isKeyMapBeside) => ({ labels, isKeyMapBeside, isFlat })),
  ),
);

/** Whether all panel numbers are large enough at a scale; a single panel needs no number. */
export const areNumbersReadable = ({ context, layout }: SidePictureParts, oneTo: number): boolean =>
  layout.panels.length < 2 ||
  layout.panels.every(
    ({ number, net }) =>
      numberCap(context.fonts, String(number), { width: net.width / oneTo, height: net.height / oneTo }) >=
      READABLE_CAP_MM,
  );

/**
 * For a side with so many panels that their numbers become small: repeats the side in parts at a larger scale, one page
 * each, divided along seams, with a small map that marks the part.
 */
export function partPages(parts: SidePictureParts, wholeOneTo: number): PageDraft[] {
  const { context, layout } = parts;
  const { code, name, front } = layout.side;
  if (areNumbersReadable(parts, wholeOneTo)) return [];

  const body = bodyRect(context.size);
  const cuts = layout.panels.flatMap(({ net }) => [net.x, net.y]);
  const larger = PART_SCALES.filter((scale) => scale < wholeOneTo).toReversed();
  const found = larger.flatMap((oneTo) => {
    const ways = PART_WAYS.flatMap((way) => partsSet(parts, body, oneTo, way) ?? []);
    return ways
      .toSorted((a, b) => a.set.length - b.set.length || cutsBeside(a, cuts) - cutsBeside(b, cuts))
      .slice(0, 1);
  });
  const chosen = found.find(({ oneTo }) => areNumbersReadable(parts, oneTo)) ?? found.at(-1);
  if (!chosen) return [];
  const { oneTo, set, way } = chosen;
  const travel = front === 'none' ? {} : { travel: front };
  return set.flatMap(({ frame, labels }, index) => {
    // In a reprint, parts without its panels are left out.
    if (!hasShownPanel(parts, frame)) return [];
    // A head that is cut short still identifies the part.
    const title = `${code} · part ${index + 1} of ${set.length} · ${name}`;
    const picture = sidePicture({ ...parts, frame, labels: way.labels }, oneTo, labels);
    const taken = body.width - roomOf(body, way).width;
    const x = body.x + taken + (body.width - taken - picture.widthMm) / 2;
    const keyMap: Rect = {
      x: body.x,
      y: body.y + body.height - KEY_MAP_MM,
      width: way.isKeyMapBeside ? KEY_MAP_BESIDE_MM : body.width,
      height: KEY_MAP_MM,
    };
    return {
      head: { title, scale: scaleDesignation(oneTo), ...travel },
      items: [...picture.draw(x, body.y), ...keyMapItems(layout.outline, frame, keyMap)],
    };
  });
}

/** The room of a page without the small map. */
const roomOf = ({ width, height }: Rect, { isKeyMapBeside }: PartWay) => ({
  width: width - (isKeyMapBeside ? KEY_MAP_BESIDE_MM + KEY_MAP_GAP_MM : 0),
  height: height - (isKeyMapBeside ? 0 : KEY_MAP_MM + KEY_MAP_GAP_MM),
});

interface PartsSet {
  readonly oneTo: number;
  readonly way: PartWay;
  readonly set: readonly { readonly frame: Rect<'finished'>; readonly labels: LabelWay }[];
}

/** The parts of a side at a scale, each with the largest labels that fit; undefined where none fit in one of them. */
function partsSet(parts: SidePictureParts, body: Rect, oneTo: number, way: PartWay): PartsSet | undefined {
  const frames = framesOf(parts, body, oneTo, way);
  if (frames.length > MAX_PARTS) return undefined;
  const room = roomOf(body, way);
  const set = frames.flatMap((frame) => {
    const labels = largestLabels({ ...parts, frame, labels: way.labels }, oneTo, room);
    return labels ? [{ frame, labels }] : [];
  });
  return set.length === frames.length ? { oneTo, way, set } : undefined;
}

/** Number of part edges that are not on a seam. */
const cutsBeside = ({ set }: PartsSet, cuts: readonly Mm[]): number =>
  set.flatMap(({ frame }) => [frame.x, frame.y].filter((at) => !cuts.includes(at))).length;

const hasShownPanel = ({ context: { reprintedIds }, layout }: SidePictureParts, frame: Rect): boolean =>
  reprintedIds.size === 0 ||
  layout.panels.some(({ id, net }) => reprintedIds.has(id) && rectIntersection(net, frame) !== undefined);

/** The largest readable labels that fit a part. */
function largestLabels(
  part: SidePictureParts,
  oneTo: number,
  room: { readonly width: Mm; readonly height: Mm },
): LabelWay | undefined {
  const fits = (way: LabelWay) => {
    const { widthMm, heightMm } = sidePicture(part, oneTo, way);
    return widthMm <= room.width && heightMm <= room.height;
  };
  const ways = EDGE_LABEL_SIZES.flatMap((sizeMm) => [true, false].map((isFlat) => ({ sizeMm, isFlat })));
  return ways.filter(({ sizeMm }) => sizeMm >= LABEL_MM).find(fits);
}

/** Parts of a side that fit a sheet at this scale, divided at panel edges where possible, row by row. */
function framesOf(parts: SidePictureParts, body: Rect, oneTo: number, way: PartWay): Rect<'finished'>[] {
  const { layout } = parts;
  const { outline, panels } = layout;
  const bands = sideBands({ ...parts, labels: way.labels }, { sizeMm: LABEL_MM, isFlat: way.isFlat }, oneTo);
  const room = roomOf(body, way);
  const widest = (room.width - bands.left - bands.right) * oneTo;
  const highest = (room.height - bands.top - bands.bottom) * oneTo;
  if (widest <= 0 || highest <= 0) return Array.from({ length: MAX_PARTS + 1 }, () => outline);
  const columns = stretches(
    outline.x,
    outline.x + outline.width,
    panels.map(({ net }) => net.x),
    widest,
  );
  const rows = stretches(
    outline.y,
    outline.y + outline.height,
    panels.map(({ net }) => net.y),
    highest,
  );
  return rows.flatMap(([top, bottom]) =>
    columns.map(([left, right]) => ({ x: left, y: top, width: right - left, height: bottom - top })),
  );
}

/**
 * Divides a length into the fewest stretches of at most `longest`, about equal, at `cuts` within reach: 0…100 in
 * stretches of 40 at most, cuts 30, 36, 71: 0–36, 36–71, 71–100.
 */
export function stretches(start: Mm, end: Mm, cuts: readonly Mm[], longest: Mm): (readonly [Mm, Mm])[] {
  const count = Math.ceil((end - start) / longest - 1e-9);
  const found: (readonly [Mm, Mm])[] = [];
  let from = start;
  for (let left = count; left > 1; left -= 1) {
    const ideal = from + (end - from) / left;
    const earliest = Math.max(from + longest * 0.2, end - longest * (left - 1));
    const inReach = cuts.filter((cut) => cut >= earliest - 1e-6 && cut <= from + longest + 1e-6);
    const to = inReach.toSorted((a, b) => Math.abs(a - ideal) - Math.abs(b - ideal))[0] ?? ideal;
    found.push([from, to]);
    from = to;
  }
  return [...found, [from, end]];
}

/** The outline of the side, with the part of this page in black. */
function keyMapItems(outline: Rect, frame: Rect, room: Rect): Item[] {
  const scale = Math.min(room.width / outline.width, room.height / outline.height) * 0.9;
  const tag = 'key map';
  const width = outline.width * scale;
  const x = room.x + (room.width - width) / 2;
  const y = room.y + room.height - outline.height * scale - 0.5;
  const part: Rect = {
    x: x + (frame.x - outline.x) * scale,
    y: y + (frame.y - outline.y) * scale,
    width: frame.width * scale,
    height: frame.height * scale,
  };
  return [
    { kind: 'rect', tag, rect: part, fill: BLACK, stroke: THIN },
    { kind: 'rect', tag, rect: { x, y, width, height: outline.height * scale }, stroke: MEDIUM },
  ];
}
