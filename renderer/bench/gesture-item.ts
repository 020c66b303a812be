/** Drawing, moving and pulling body lines, no-seam areas, difficult ground and no-film areas. */

import {
  bodyLinePointsSet,
  type EditResult,
  type ItemList,
  itemAdd,
  itemMove,
  itemSet,
  type SideItems,
  sideItems,
} from '../../core/job/edits/edits.ts';
import { jobAllowances } from '../../core/job/joint-default.ts';
import { linePath } from '../../core/job/line-path.ts';
import { rectAcross } from '../../core/job/region.ts';
import type { BodyLine, Job, SeamDirection, StoredRect } from '../../core/job/schema.ts';
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
import type { Point, Rect, Space } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { editJob, job, pageExtents } from '../state/open-job.ts';
import { type Handle, handleAt, linePointAt, rectPulled } from './bench-hit.ts';
import {
  announce,
  clearDrafts,
  draft,
  readout,
  selection,
  type Tool,
  tool,
  viewport,
} from './bench-state.ts';
import { type BenchPointer, type Gesture, isClick, LEAST_DRAWN_PX } from './gesture.ts';
import { sizeText } from './seam-words.ts';
import { type PlacedSide, pointOnSide } from './sides-placed.ts';
import { AREA_STEP_MM, HOLD_REACH_PX, stepped } from './snap-steps.ts';

const LEAST_AREA_MM = 10;

/** Shows a side as an edit would leave it. */
function previewEdit(sideId: string, edit: (now: Job) => EditResult): void {
  const current = job.value;
  const edited = current && edit(current);
  if (!edited?.ok) return;
  const side = edited.value.sides.find(({ id }) => id === sideId);
  if (side) draft.value = sideLayout(edited.value, side, pageExtents.value);
}

const stepMm = (pointer: BenchPointer): Mm =>
  pointer.isFree ? 0.1 : AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];

/** Moves an item, or pulls at an edge or corner of one that is already chosen. */
export function itemDrag(
  placed: PlacedSide,
  chosen: { readonly list: ItemList; readonly itemId: string },
  from: BenchPointer,
): Gesture {
  const sideId = placed.layout.side.id;
  const rect = areaRect(placed, chosen.itemId);
  const wasChosen = selection.value.kind === 'item' && selection.value.itemId === chosen.itemId;
  const reach = HOLD_REACH_PX / viewport.value.pxPerMm;
  const at = pointOnSide(placed, from.mm);
  const handle = rect && wasChosen ? handleAt(rect, at, reach) : undefined;
  const line = wasChosen && placed.layout.side.bodyLines.find(({ id }) => id === chosen.itemId);
  const bent = line ? pointOfLine(line, at, { reachMm: reach, isAdded: from.isAdding }) : undefined;
  selection.value = { kind: 'item', sideId, ...chosen };
  let edit: ((now: Job) => EditResult) | undefined;

  return {
    move(pointer) {
      if (!edit && isClick(from, pointer)) return;
      const step = stepMm(pointer);
      const by = { x: stepped(pointer.mm.x - from.mm.x, step), y: stepped(pointer.mm.y - from.mm.y, step) };
      edit = (now) => {
        if (handle && rect) return areaPulled(now, sideId, chosen, rect, handle, by);
        if (bent) return bodyLinePointsSet(now, { sideId, itemId: chosen.itemId, points: bent.movedBy(by) });
        return itemMove(now, { sideId, itemId: chosen.itemId, byMm: by });
      };
      previewEdit(sideId, edit);
      const words = bent ? bent.words(by, job.value?.displayUnit ?? 'mm') : itemWords(chosen.itemId);
      readout.value = { at: pointer.px, lines: words };
    },
    end() {
      clearDrafts();
      if (edit) editJob(handle ? 'Change an area' : bent ? 'Move a point' : 'Move a line or area', edit);
    },
  };
}

/** The point of a line that is held, or one that is added where nothing is held and one is asked for. */
function pointOfLine(
  line: BodyLine,
  at: Point,
  { reachMm, isAdded }: { readonly reachMm: Mm; readonly isAdded: boolean },
) {
  const path = linePath(line);
  const place = pointFromAxis(line.direction, at);
  const held = linePointAt(line, at, reachMm);
  const isNew = held === undefined;
  if (isNew && !(isAdded && line.shape)) return undefined;
  const others = isNew ? path : path.toSpliced(held, 1);
  const along = stepped(place.along, AREA_STEP_MM[job.value?.displayUnit ?? 'mm']);
  const from = isNew ? { along, across: pathValue(path, along) } : path[held]!;
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
    movedBy: (by: Point): Path => [...others, moved(by)],
    words: (by: Point, unit: 'mm' | 'in'): readonly string[] => {
      const { x, y } = pointOnAxis(line.direction, moved(by));
      return [line.name, `${lengthText(x, unit)} from the left, ${lengthText(y, unit)} from the top`];
    },
  };
}

function areaPulled(
  now: Job,
  sideId: string,
  { list, itemId }: { readonly list: ItemList; readonly itemId: string },
  rect: Rect,
  handle: Handle,
  by: Point,
): EditResult {
  const pulled = storedFromRect(rectPulled(rect, handle, by, LEAST_AREA_MM));
  return itemSet(now, { sideId, itemId, list: list as 'noFilmAreas', change: { rect: pulled } });
}

function areaRect({ layout: { side } }: PlacedSide, itemId: string): Rect<'finished'> | undefined {
  const area = [...side.noFilmAreas, ...side.noSeamAreas, ...side.ground].find(({ id }) => id === itemId);
  return area && rectFromStored<'finished'>(area.rect);
}

function itemWords(itemId: string): readonly string[] {
  const unit = job.value?.displayUnit ?? 'mm';
  const side = draft.value?.side;
  if (!side) return [];
  const area = [...side.noFilmAreas, ...side.noSeamAreas, ...side.ground].find(({ id }) => id === itemId);
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

function areaWords(name: string, rect: StoredRect, unit: 'mm' | 'in'): readonly string[] {
  return [
    name,
    sizeText({ width: rect.widthMm, height: rect.heightMm }, unit),
    `${lengthText(rect.xMm, unit)} from the left, ${lengthText(rect.yMm, unit)} from the top`,
  ];
}

/** What each tool draws, before it has a place. */
const AREA_TOOLS = {
  'no-seam-area': { list: 'noSeamAreas', name: 'No-seam area', label: 'Draw a no-seam area' },
  ground: { list: 'ground', name: 'Difficult ground', label: 'Draw difficult ground' },
  'no-film-area': { list: 'noFilmAreas', name: 'No-film area', label: 'Draw a no-film area' },
} as const;

type AreaTool = keyof typeof AREA_TOOLS;

export const isAreaTool = (candidate: Tool): candidate is AreaTool => candidate in AREA_TOOLS;

export function areaDraw(placed: PlacedSide, from: BenchPointer): Gesture {
  const kind = tool.value as AreaTool;
  const { name } = AREA_TOOLS[kind];
  const sideId = placed.layout.side.id;
  let rect: Rect | undefined;

  return {
    move(pointer) {
      const step = stepMm(pointer);
      rect = rectBetween(pointOnSide(placed, from.mm), pointOnSide(placed, pointer.mm), step);
      if (!isLargeEnough(rect)) {
        rect = undefined;
        return;
      }
      const area = rect;
      previewEdit(sideId, (now) => areaAdded(now, kind, sideId, area));
      const unit = job.value?.displayUnit ?? 'mm';
      readout.value = { at: pointer.px, lines: areaWords(name, storedFromRect(area), unit) };
    },
    end() {
      clearDrafts();
      if (!rect) {
        announce('Press and drag to draw the area.');
        return;
      }
      addArea(kind, sideId, rect);
    },
  };
}

function areaAdded(now: Job, kind: AreaTool, sideId: string, area: Rect): EditResult {
  const shared = { name: AREA_TOOLS[kind].name, rect: storedFromRect(area) };
  switch (kind) {
    case 'no-seam-area':
      return itemAdd(now, { sideId, list: 'noSeamAreas', item: shared });
    case 'ground':
      return itemAdd(now, { sideId, list: 'ground', item: { ...shared, kind: 'recess' } });
    case 'no-film-area':
      return itemAdd(now, {
        sideId,
        list: 'noFilmAreas',
        item: { ...shared, kind: 'window', clearanceMm: jobAllowances(now).clearanceMm },
      });
  }
}

function addArea(kind: AreaTool, sideId: string, area: Rect): void {
  const { list, label } = AREA_TOOLS[kind];
  if (!editJob(label, (now) => areaAdded(now, kind, sideId, area))) chooseNewItem(sideId, list);
}

/** Without a pointer: a fifth of the side each way, in its middle, to be moved and typed from there. */
export function addAreaInMiddle({ layout: { outline, side } }: Pick<PlacedSide, 'layout'>): void {
  const step = AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];
  const [width, height] = [stepped(outline.width / 5, step), stepped(outline.height / 5, step)];
  const [x, y] = [stepped((outline.width - width) / 2, step), stepped((outline.height - height) / 2, step)];
  addArea(tool.value as AreaTool, side.id, { x, y, width, height });
}

const isLargeEnough = ({ width, height }: Rect): boolean =>
  Math.min(width, height) * viewport.value.pxPerMm >= LEAST_DRAWN_PX;

/** The rectangle with these two points as opposite corners, its edges on whole steps. */
export function rectBetween<S extends Space>(a: Point<S>, b: Point<S>, step: Mm): Rect<S> {
  const [left, right] = [Math.min(a.x, b.x), Math.max(a.x, b.x)].map((mm) => stepped(mm, step));
  const [top, bottom] = [Math.min(a.y, b.y), Math.max(a.y, b.y)].map((mm) => stepped(mm, step));
  return { x: left!, y: top!, width: right! - left!, height: bottom! - top! };
}

export const isLineTool = (candidate: Tool): boolean =>
  candidate === 'line-vertical' || candidate === 'line-horizontal';

function lineAdded(now: Job, sideId: string, direction: SeamDirection, atMm: Mm): EditResult {
  const item: Omit<SideItems['bodyLines'], 'id'> = { name: 'Body line', kind: 'crease', direction, atMm };
  return itemAdd(now, { sideId, list: 'bodyLines', item });
}

/** Puts the tool down and chooses what it drew, so that it can be named and set in the inspector. */
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
