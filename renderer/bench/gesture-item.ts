/** Placing body lines; moving and pulling lines, areas and doors. */

import { type AreaShape, areaPoints } from '../../core/job/area-shape.ts';
import { doorGapPulled, doorLines, doorOutline } from '../../core/job/door.ts';
import {
  areaCornersSet,
  bodyLinePointsSet,
  type EditResult,
  type ItemList,
  itemAdd,
  itemMove,
  itemSet,
  type SideItems,
  sideItems,
} from '../../core/job/edits/edits.ts';
import { linePath } from '../../core/job/line-path.ts';
import { rectAcross } from '../../core/job/region.ts';
import type { BodyLine, Door, Job, SeamDirection, Side, StoredRect } from '../../core/job/schema.ts';
import { rectFromStored, storedFromRect } from '../../core/job/stored-rect.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import {
  type Path,
  type PathPoint,
  pathEnds,
  pathValue,
  pointFromAxis,
  pointOnAxis,
} from '../../core/measure/path.ts';
import { itemAround, itemAt } from '../../core/measure/present.ts';
import type { Point, Rect } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { editJob, job, pageExtents } from '../state/open-job.ts';
import { edgeDistance, type Handle, handleAt, linePointAt, rectPulled } from './bench-hit.ts';
import { clearDrafts, draft, readout, selection, type Tool, tool, viewport } from './bench-state.ts';
import { type BenchPointer, type Gesture, isClick } from './gesture.ts';
import { sizeText } from './seam-words.ts';
import { type PlacedSide, pointOnSide } from './sides-placed.ts';
import { AREA_STEP_MM, HOLD_REACH_PX, stepped } from './snap-steps.ts';

const LEAST_AREA_MM = 10;

/** Shows a side as an edit would change it. */
export function previewEdit(sideId: string, edit: (now: Job) => EditResult): void {
  const current = job.value;
  const edited = current && edit(current);
  if (!edited?.ok) return;
  const side = edited.value.sides.find(({ id }) => id === sideId);
  if (side) draft.value = sideLayout(edited.value, side, pageExtents.value);
}

export const stepMm = (pointer: BenchPointer): Mm =>
  pointer.isFree ? 0.1 : AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];

/** Moves an item, or drags an edge or corner of a selected one. */
export function itemDrag(
  placed: PlacedSide,
  chosen: { readonly list: ItemList; readonly itemId: string },
  from: BenchPointer,
): Gesture {
  const sideId = placed.layout.side.id;
  const area = areaOf(placed.layout.side, chosen.itemId);
  const door = placed.layout.side.doors?.find(({ id }) => id === chosen.itemId);
  const rect = area ? rectFromStored<'finished'>(area.rect) : door && doorOutline(door)?.rect;
  const wasChosen = selection.value.kind === 'item' && selection.value.itemId === chosen.itemId;
  const reach = HOLD_REACH_PX / viewport.value.pxPerMm;
  const at = pointOnSide(placed, from.mm);
  const held = { reachMm: reach, isAdded: from.isAdding };
  const corner = area && wasChosen ? cornerOfArea(area, at, held) : undefined;
  const handle = rect && wasChosen && !area?.outline && !corner ? handleAt(rect, at, reach) : undefined;
  const bent = wasChosen
    ? linesOf(placed, chosen).flatMap((line) => pointOfLine(line, at, held) ?? [])[0]
    : undefined;
  selection.value = { kind: 'item', sideId, ...chosen };
  let edit: ((now: Job) => EditResult) | undefined;

  return {
    move(pointer) {
      if (!edit && isClick(from, pointer)) return;
      const step = stepMm(pointer);
      const by = { x: stepped(pointer.mm.x - from.mm.x, step), y: stepped(pointer.mm.y - from.mm.y, step) };
      edit = (now) => {
        if (corner) return areaCornersSet(now, { sideId, itemId: chosen.itemId, points: corner.movedBy(by) });
        if (bent) return bodyLinePointsSet(now, { sideId, itemId: bent.lineId, points: bent.movedBy(by) });
        if (handle && door) return doorPulled(now, sideId, door, handle, by);
        if (handle && rect) return areaPulled(now, sideId, chosen, { rect, handle, by });
        return itemMove(now, { sideId, itemId: chosen.itemId, byMm: by });
      };
      previewEdit(sideId, edit);
      const words = (corner ?? bent)?.words(by, job.value?.displayUnit ?? 'mm') ?? itemWords(chosen.itemId);
      readout.value = { at: pointer.px, lines: words };
    },
    end() {
      clearDrafts();
      const label = door ? 'Change a door' : handle ? 'Change an area' : 'Move a line or area';
      if (edit) editJob(corner || bent ? 'Move a point' : label, edit);
    },
  };
}

/** What has draggable points: a selected body line, or the edges of a selected door. */
function linesOf(
  { layout: { side } }: PlacedSide,
  { itemId }: { readonly itemId: string },
): readonly BodyLine[] {
  const door = side.doors?.find(({ id }) => id === itemId);
  return door ? doorLines(door) : side.bodyLines.filter(({ id }) => id === itemId);
}

interface Held {
  readonly reachMm: Mm;
  readonly isAdded: boolean;
}

/** The grabbed corner of an outline; with Shift, a corner added on an edge of an outline or rectangle. */
function cornerOfArea(area: AreaShape & { readonly name: string }, at: Point, { reachMm, isAdded }: Held) {
  const points = areaPoints(area);
  const away = points.map(({ x, y }) => Math.hypot(x - at.x, y - at.y));
  const least = Math.min(...away);
  const isHeld = least <= reachMm && (area.outline !== undefined || isAdded);
  const index = isHeld ? away.indexOf(least) : isAdded ? edgeAt(points, at, reachMm) : undefined;
  if (index === undefined) return undefined;
  const from = isHeld ? itemAt(points, index) : pointStepped(at);
  const moved = (by: Point): Point<'finished'> => ({ x: from.x + by.x, y: from.y + by.y });
  return {
    movedBy: (by: Point) =>
      isHeld ? points.with(index, moved(by)) : points.toSpliced(index + 1, 0, moved(by)),
    words: (by: Point, unit: 'mm' | 'in'): readonly string[] => [area.name, placeText(moved(by), unit)],
  };
}

function pointStepped({ x, y }: Point): Point {
  const step = AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];
  return { x: stepped(x, step), y: stepped(y, step) };
}

/** The edge of a polygon within reach, by its first corner. */
function edgeAt(points: readonly Point[], at: Point, reachMm: Mm): number | undefined {
  const away = points.map((from, index) => edgeDistance([from, itemAround(points, index + 1)], at));
  const least = Math.min(...away);
  return least <= reachMm ? away.indexOf(least) : undefined;
}

const placeText = ({ x, y }: Point, unit: 'mm' | 'in'): string =>
  `${lengthText(x, unit)} from the left, ${lengthText(y, unit)} from the top`;

function doorPulled(now: Job, sideId: string, door: Door, handle: Handle, by: Point): EditResult {
  const { x, y } = handle;
  const edges = (
    [
      [x === -1, 'left'],
      [x === 1, 'right'],
      [y === -1, 'top'],
      [y === 1, 'bottom'],
    ] as const
  ).flatMap(([isHeld, edge]) => (isHeld ? [edge] : []));
  const gap = doorGapPulled(door.gap, edges, by);
  return itemSet(now, { sideId, itemId: door.id, list: 'doors', change: { gap } });
}

/** The grabbed point of a line, or an added one where none is grabbed and one is requested. */
function pointOfLine(line: BodyLine, at: Point, { reachMm, isAdded }: Held) {
  const path = linePath(line);
  const place = pointFromAxis(line.direction, at);
  const held = linePointAt(line, at, reachMm);
  const isNew = held === undefined;
  if (isNew && !(isAdded && line.shape)) return undefined;
  const others = isNew ? path : path.toSpliced(held, 1);
  const along = stepped(place.along, AREA_STEP_MM[job.value?.displayUnit ?? 'mm']);
  const from = isNew ? { along, across: pathValue(path, along) } : itemAt(path, held);
  // A point stays between its neighbors.
  const before = others.findLast(({ along }) => along < from.along)?.along ?? Number.NEGATIVE_INFINITY;
  const after = others.find(({ along }) => along > from.along)?.along ?? Number.POSITIVE_INFINITY;
  const moved = (by: Point): PathPoint => {
    const step = pointFromAxis(line.direction, by);
    return {
      along: Math.min(Math.max(from.along + step.along, before + 1), after - 1),
      across: from.across + step.across,
    };
  };
  return {
    lineId: line.id,
    movedBy: (by: Point): Path => [...others, moved(by)],
    words: (by: Point, unit: 'mm' | 'in'): readonly string[] => [
      line.name,
      placeText(pointOnAxis(line.direction, moved(by)), unit),
    ],
  };
}

function areaPulled(
  now: Job,
  sideId: string,
  { list, itemId }: { readonly list: ItemList; readonly itemId: string },
  { rect, handle, by }: { readonly rect: Rect; readonly handle: Handle; readonly by: Point },
): EditResult {
  const pulled = storedFromRect(rectPulled(rect, handle, by, LEAST_AREA_MM));
  return itemSet(now, { sideId, itemId, list: list as 'noFilmAreas', change: { rect: pulled } });
}

const areaOf = (side: Side, itemId: string) =>
  [...side.noFilmAreas, ...side.noSeamAreas, ...side.ground].find(({ id }) => id === itemId);

function itemWords(itemId: string): readonly string[] {
  const unit = job.value?.displayUnit ?? 'mm';
  const side = draft.value?.side;
  if (!side) return [];
  const area = areaOf(side, itemId);
  const door = side.doors?.find(({ id }) => id === itemId);
  const place = door && doorOutline(door);
  if (door && place) return areaWords(door.name, storedFromRect(place.rect), unit);
  if (area) return areaWords(area.name, area.rect, unit);
  const guides = sideItems(side, 'guides').map((guide) => ({ ...guide, name: 'Guide line' }));
  const line: Omit<BodyLine, 'kind'> | undefined = [...side.bodyLines, ...guides].find(
    ({ id }) => id === itemId,
  );
  if (!line) return [];
  const edge = line.direction === 'vertical' ? 'left' : 'top';
  if (!line.shape) return [line.name, `${lengthText(line.atMm, unit)} from the ${edge} edge`];
  const ends = pathEnds(linePath(line)).map(({ across }) => lengthText(across, unit));
  return [line.name, `${ends[0]} and ${ends[1]} from the ${edge} edge at its ends`];
}

export function areaWords(name: string, rect: StoredRect, unit: 'mm' | 'in'): readonly string[] {
  return [
    name,
    sizeText({ width: rect.widthMm, height: rect.heightMm }, unit),
    placeText({ x: rect.xMm, y: rect.yMm }, unit),
  ];
}

export const isLineTool = (candidate: Tool): boolean =>
  candidate === 'line-vertical' || candidate === 'line-horizontal';

function lineAdded(now: Job, sideId: string, direction: SeamDirection, atMm: Mm): EditResult {
  const item: Omit<SideItems['bodyLines'], 'id'> = { name: 'Body line', kind: 'crease', direction, atMm };
  return itemAdd(now, { sideId, list: 'bodyLines', item });
}

/** Puts the tool down and selects what it drew, so that it can be named and set in the inspector. */
export function chooseNewItem(sideId: string, list: ItemList): void {
  const side = job.value?.sides.find(({ id }) => id === sideId);
  const made = side && sideItems(side, list).at(-1);
  tool.value = 'select';
  if (made) selection.value = { kind: 'item', sideId, list, itemId: made.id };
}

const lineDirection = (): SeamDirection => (tool.value === 'line-vertical' ? 'vertical' : 'horizontal');

function linePosition(placed: PlacedSide, pointer: BenchPointer): Mm {
  const on = pointOnSide(placed, pointer.mm);
  return stepped(lineDirection() === 'vertical' ? on.x : on.y, stepMm(pointer));
}

/** The body line that a click would place. */
export function previewLine(placed: PlacedSide, pointer: BenchPointer): void {
  const sideId = placed.layout.side.id;
  previewEdit(sideId, (now) => lineAdded(now, sideId, lineDirection(), linePosition(placed, pointer)));
  const shown = draft.value?.side.bodyLines.at(-1);
  if (shown) readout.value = { at: pointer.px, lines: itemWords(shown.id) };
}

export function placeLine(placed: PlacedSide, pointer: BenchPointer): void {
  const sideId = placed.layout.side.id;
  const [direction, atMm] = [lineDirection(), linePosition(placed, pointer)];
  addLine(sideId, direction, atMm);
}

function addLine(sideId: string, direction: SeamDirection, atMm: Mm): void {
  clearDrafts();
  const problem = editJob('Place a body line', (now) => lineAdded(now, sideId, direction, atMm));
  if (!problem) chooseNewItem(sideId, 'bodyLines');
}

/** Without a pointer: in the middle of the side. */
export function addLineInMiddle({ layout: { outline, side } }: Pick<PlacedSide, 'layout'>): void {
  const direction = lineDirection();
  const { start, end } = rectAcross(outline, direction);
  addLine(side.id, direction, stepped((start + end) / 2, AREA_STEP_MM[job.value?.displayUnit ?? 'mm']));
}
