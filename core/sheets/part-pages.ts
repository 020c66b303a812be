import { BLACK, type Item, MEDIUM, THIN } from '../drawing/drawing.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { EDGE_LABEL_SIZES, type LabelWay } from './edge-labels.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import { numberCap } from './picture-tiles.ts';
import { REDUCTION_SCALES, scaleDesignation } from './sheet-scale.ts';
import { type LabelLength, type SidePictureParts, sideBands, sidePicture } from './side-picture.ts';

/** Capitals of numbers that are read at arm's length; where the whole side gives less, parts of it follow, larger. */
const READABLE_CAP_MM: Mm = 3.5;
const LABELS: LabelWay = { sizeMm: 5, isFlat: false };
/** Between two standard scales a side often needs half the pages. */
const PART_SCALES: readonly number[] = [...REDUCTION_SCALES, 25].toSorted((a, b) => a - b);
/** More parts than this help nobody. */
const MAX_PARTS = 16;
/** Room of the small map: below the picture, or in the corner beside it. */
const KEY_MAP_MM: Mm = 14;
const KEY_MAP_BESIDE_MM: Mm = 30;
const KEY_MAP_GAP_MM: Mm = 3;

/** How a part stands on its page. What saves pages is worth shorter labels, which the tables have whole. */
interface PartWay {
  readonly labels: LabelLength;
  readonly isKeyMapBeside: boolean;
}

const PART_WAYS: readonly PartWay[] = [
  { labels: 'cut', isKeyMapBeside: false },
  { labels: 'cut', isKeyMapBeside: true },
  { labels: 'short', isKeyMapBeside: false },
  { labels: 'short', isKeyMapBeside: true },
];

/**
 * Where a side has so many panels that their numbers are small on its picture: the side again in parts at a
 * larger scale, one page each, cut along seams, with a small map that shows which part it is.
 */
export function partPages(parts: SidePictureParts, wholeOneTo: number): PageDraft[] {
  const { context, layout } = parts;
  const { code, name, front } = layout.side;
  const capAt = (oneTo: number) =>
    Math.min(
      ...layout.panels.map(({ number, net }) =>
        numberCap(context.fonts, String(number), { width: net.width / oneTo, height: net.height / oneTo }),
      ),
    );
  if (layout.panels.length < 2 || capAt(wholeOneTo) >= READABLE_CAP_MM) return [];

  const body = bodyRect(context.size);
  const larger = PART_SCALES.filter((scale) => scale < wholeOneTo).toReversed();
  const found = larger
    .map((oneTo) => {
      const ways = PART_WAYS.map((way) => ({ oneTo, way, frames: framesOf(parts, body, oneTo, way) }));
      return ways.reduce((best, other) => (other.frames.length < best.frames.length ? other : best));
    })
    .filter(({ frames }) => frames.length <= MAX_PARTS);
  const chosen = found.find(({ oneTo }) => capAt(oneTo) >= READABLE_CAP_MM) ?? found.at(-1);
  if (!chosen) return [];
  const { oneTo, frames, way } = chosen;
  const travel = front === 'none' ? {} : { travel: front };
  return frames.flatMap((frame, index) => {
    // Of a reprint the parts without its panels show nothing that is done.
    if (!hasShownPanel(parts, frame)) return [];
    // A head that is cut short still says which part it is.
    const title = `${code} · part ${index + 1} of ${frames.length} · ${name}`;
    const taken = way.isKeyMapBeside ? KEY_MAP_BESIDE_MM + KEY_MAP_GAP_MM : 0;
    const below = way.isKeyMapBeside ? 0 : KEY_MAP_MM + KEY_MAP_GAP_MM;
    const room = { width: body.width - taken, height: body.height - below };
    const shown = { ...parts, frame, labels: way.labels };
    const picture = sidePicture(shown, oneTo, largestLabels(shown, oneTo, room));
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

const hasShownPanel = ({ context: { reprintedIds }, layout }: SidePictureParts, frame: Rect): boolean =>
  reprintedIds.size === 0 ||
  layout.panels.some(({ id, net }) => reprintedIds.has(id) && rectIntersection(net, frame) !== undefined);

/** The largest labels for which a part has room; those that the parts were cut for where none is. */
function largestLabels(
  part: SidePictureParts,
  oneTo: number,
  room: { readonly width: Mm; readonly height: Mm },
): LabelWay {
  const fits = (way: LabelWay) => {
    const { widthMm, heightMm } = sidePicture(part, oneTo, way);
    return widthMm <= room.width && heightMm <= room.height;
  };
  const ways = EDGE_LABEL_SIZES.flatMap((sizeMm) => [true, false].map((isFlat) => ({ sizeMm, isFlat })));
  return ways.filter(({ sizeMm }) => sizeMm >= LABELS.sizeMm).find(fits) ?? LABELS;
}

/** Parts of a side that fit on a sheet at this scale, cut at panel edges where there are any, row by row. */
function framesOf(
  parts: SidePictureParts,
  body: Rect,
  oneTo: number,
  { labels, isKeyMapBeside }: PartWay,
): Rect<'finished'>[] {
  const { layout } = parts;
  const { outline, panels } = layout;
  const bands = sideBands({ ...parts, labels }, LABELS, oneTo);
  const beside = isKeyMapBeside ? KEY_MAP_BESIDE_MM + KEY_MAP_GAP_MM : 0;
  const below = isKeyMapBeside ? 0 : KEY_MAP_MM + KEY_MAP_GAP_MM;
  const widest = (body.width - beside - bands.left - bands.right) * oneTo;
  const highest = (body.height - below - bands.top - bands.bottom) * oneTo;
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
 * Cuts a length into as few stretches of at most `longest` as can be, about equal, at one of `cuts` where one lies
 * in reach: 0…100 in stretches of 40 at most, cuts 30, 36, 71: 0–36, 36–71, 71–100.
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

/** The outline of the side, with the part that the page shows in black. */
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
