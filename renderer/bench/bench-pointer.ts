/** Pointer behavior on the bench, by the current tool. */
import { doorOutline } from '../../core/job/door.ts';
import { type ItemList, type SideItems, sideItems } from '../../core/job/edits/edits.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { foundIn } from '../../core/measure/present.ts';
import type { Rect } from '../../core/measure/rect.ts';
import { job, layouts } from '../state/open-job.ts';
import { isAreaTool } from './area-tools.ts';
import { benchHit, handleAt } from './bench-hit.ts';
import {
  benchLayouts,
  changeView,
  clearDrafts,
  clearSelection,
  hoveredId,
  placedSides,
  selection,
  stage,
  type Tool,
  tool,
  viewport,
} from './bench-state.ts';
import type { BenchPointer, Gesture } from './gesture.ts';
import { areaDraw } from './gesture-area.ts';
import { clickDistance, previewDistance } from './gesture-distance.ts';
import { dropGuide, isGuideTool, previewGuide } from './gesture-guide.ts';
import { isLineTool, itemDrag, placeLine, previewLine } from './gesture-item.ts';
import { clickMeasure, previewMeasure } from './gesture-measure.ts';
import { sideDraw, sideOnPageAt, sideOnPageDrag } from './gesture-page.ts';
import { arePointsBegun, clickPoint, previewPoint } from './gesture-points.ts';
import { makeCut, previewCut, seamDrag } from './gesture-seam.ts';
import { type PlacedSide, pointOnSide, sideAtPoint } from './sides-placed.ts';
import { HOLD_REACH_PX } from './snap-steps.ts';
import { hoverTrace, tracePathInHand } from './trace.ts';
import { viewportPanned } from './viewport.ts';

export type Cursor = 'pan' | 'across' | 'along' | 'move' | 'cross' | 'plain';

/** Begins the action of a press; undefined where there is none. */
export function beginGesture(pointer: BenchPointer): Gesture | undefined {
  const inHand = tool.value;
  if (inHand === 'measure') {
    clickMeasure(pointer);
    return undefined;
  }
  if (inHand === 'side') return sideDraw(pointer);
  if (stage.value.kind === 'page') {
    const side = sideOnPageAt(pointer.mm);
    if (side) return sideOnPageDrag(side, pointer);
    clearSelection();
    return undefined;
  }
  const placed = placedAt(pointer);
  if (!placed) {
    clearSelection();
    return undefined;
  }
  if (inHand === 'seam-vertical' || inHand === 'seam-horizontal') {
    makeCut(placed, settledLayout(placed), pointer);
    return undefined;
  }
  if (inHand === 'distance') {
    clickDistance(placed, pointer);
    return undefined;
  }
  if (isGuideTool(inHand)) {
    dropGuide(placed, pointer);
    return undefined;
  }
  if (isLineTool(inHand)) {
    placeLine(placed, pointer);
    return undefined;
  }
  if (inHand === 'line-points') {
    clickPoint(placed, pointer);
    return undefined;
  }
  if (inHand === 'trace') {
    hoverTrace(placed, pointer);
    tracePathInHand();
    return undefined;
  }
  if (isAreaTool(inHand)) return areaDraw(placed, pointer);
  return chosenAt(placed, pointer);
}

/** Drags the bench itself, with any tool. */
export function beginPan(from: BenchPointer): Gesture {
  const start = viewport.value;
  return {
    move: ({ px }) =>
      changeView(viewportPanned(start, { xPx: from.px.xPx - px.xPx, yPx: from.px.yPx - px.yPx })),
    end: () => undefined,
  };
}

/** What a tool shows under the pointer before a press. */
export function hover(pointer: BenchPointer): void {
  const inHand = tool.value;
  if (inHand === 'measure') previewMeasure(pointer);
  else if (stage.value.kind === 'side' || stage.value.kind === 'all') hoverWhileDrawing(inHand, pointer);
}

function hoverWhileDrawing(inHand: Tool, pointer: BenchPointer): void {
  if (inHand === 'select' || (isAreaTool(inHand) && !arePointsBegun())) return;
  const placed = placedAt(pointer);
  if (!placed) clearDrafts();
  else if (inHand === 'distance') previewDistance(placed, pointer);
  else if (isGuideTool(inHand)) previewGuide(placed, pointer);
  else if (isLineTool(inHand)) previewLine(placed, pointer);
  else if (inHand === 'line-points' || isAreaTool(inHand)) previewPoint(placed, pointer);
  else if (inHand === 'trace') hoverTrace(placed, pointer);
  else previewCut(placed, settledLayout(placed), pointer);
}

/** The cursor that shows what a press would do; also highlights the item under it. */
export function cursorAt(pointer: BenchPointer): Cursor {
  hoveredId.value = undefined;
  if (tool.value !== 'select') return 'cross';
  if (stage.value.kind === 'page') return sideOnPageAt(pointer.mm) ? 'move' : 'plain';
  const placed = placedAt(pointer);
  const hit = placed && benchHit(placed.layout, pointOnSide(placed, pointer.mm), holdReach());
  hoveredId.value = hit?.kind === 'seam' ? hit.seam.id : hit?.kind === 'item' ? hit.itemId : undefined;
  if (hit?.kind === 'seam') return hit.seam.direction === 'vertical' ? 'across' : 'along';
  return hit?.kind === 'item' ? 'move' : 'plain';
}

function chosenAt(placed: PlacedSide, pointer: BenchPointer): Gesture | undefined {
  const sideId = placed.layout.side.id;
  const at = pointOnSide(placed, pointer.mm);
  const held = heldItem(placed, pointer);
  if (held) return itemDrag(placed, held, pointer);
  const hit = benchHit(placed.layout, at, holdReach());
  if (!hit) {
    clearSelection();
    return undefined;
  }
  switch (hit.kind) {
    case 'seam':
      selection.value = {
        kind: 'seams',
        sideId,
        seamIds: seamsChosen(sideId, hit.seam.id, pointer.isAdding),
      };
      return pointer.isAdding ? undefined : seamDrag(placed, hit.seam, pointer);
    case 'item':
      return itemDrag(placed, hit, pointer);
    case 'panel':
      selection.value = { kind: 'panel', sideId, panelId: hit.panel.id };
      return undefined;
  }
}

/** Selects the item there without moving it; an existing selection that includes it stays. */
export function selectAt(pointer: BenchPointer): void {
  const placed = stage.value.kind === 'page' ? undefined : placedAt(pointer);
  const hit = placed && benchHit(placed.layout, pointOnSide(placed, pointer.mm), holdReach());
  if (!placed || !hit) return;
  const sideId = placed.layout.side.id;
  const chosen = selection.value;
  if (hit.kind === 'panel') selection.value = { kind: 'panel', sideId, panelId: hit.panel.id };
  else if (hit.kind === 'item')
    selection.value = { kind: 'item', sideId, list: hit.list, itemId: hit.itemId };
  else if (chosen.kind !== 'seams' || !chosen.seamIds.includes(hit.seam.id)) {
    selection.value = { kind: 'seams', sideId, seamIds: [hit.seam.id] };
  }
}

/** The handles of a selected area take precedence over a seam beside them. */
function heldItem(placed: PlacedSide, pointer: BenchPointer) {
  const chosen = selection.value;
  if (chosen.kind !== 'item' || chosen.sideId !== placed.layout.side.id) return undefined;
  const item = sideItems(placed.layout.side, chosen.list).find(({ id }) => id === chosen.itemId);
  const rect = item && itemRect(item);
  return rect && handleAt(rect, pointOnSide(placed, pointer.mm), holdReach()) ? chosen : undefined;
}

/** The bounding rectangle of an area or a door. */
function itemRect(item: SideItems[ItemList]): Rect | undefined {
  if ('rect' in item) return rectFromStored(item.rect);
  return 'gap' in item ? doorOutline(item)?.rect : undefined;
}

/** With Shift, a seam is added to the selection or removed from it. */
function seamsChosen(sideId: string, seamId: string, isAdding: boolean): readonly string[] {
  const chosen = selection.value;
  if (!isAdding || chosen.kind !== 'seams' || chosen.sideId !== sideId) return [seamId];
  const without = chosen.seamIds.filter((id) => id !== seamId);
  return without.length === chosen.seamIds.length || without.length === 0 ? [...without, seamId] : without;
}

const holdReach = (): number => HOLD_REACH_PX / viewport.value.pxPerMm;

const placedAt = (pointer: BenchPointer): PlacedSide | undefined =>
  sideAtPoint(placedSides.value, pointer.mm, job.value?.output.borderMm ?? 0);

/** The side of the job, without the preview of a tool. */
const settledLayout = ({ layout }: PlacedSide) =>
  layouts.value.find(({ side }) => side.id === layout.side.id) ??
  foundIn(benchLayouts.value, ({ side }) => side.id === layout.side.id);
