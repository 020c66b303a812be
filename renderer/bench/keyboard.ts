/** What the keys do on the canvas: navigate, nudge, remove. Every step is read out. */
import { itemMove, seamMove, seamRemove, sideRemove, sideSet } from '../../core/job/edits/edits.ts';
import { rectAcross, regionJoints } from '../../core/job/region.ts';
import type { Job, SeamDirection } from '../../core/job/schema.ts';
import { seamInSplit } from '../../core/job/seam-range.ts';
import type { Panel, Seam } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { firstOf, foundIn } from '../../core/measure/present.ts';
import type { Mm } from '../../core/measure/units.ts';
import { editJob, job, layouts } from '../state/open-job.ts';
import { isAreaTool } from './area-tools.ts';
import {
  announce,
  clearSelection,
  layoutInHand,
  placedSide,
  placedSides,
  type Selection,
  seamInHand,
  selection,
  type Tool,
  takeTool,
  tool,
  zoomToRect,
} from './bench-state.ts';
import { seamRect } from './finding-place.ts';
import { takeArea } from './gesture-area.ts';
import { dropGuideInMiddle, isGuideTool } from './gesture-guide.ts';
import { addLineInMiddle, isLineTool } from './gesture-item.ts';
import { takeLine } from './gesture-points.ts';
import { cutPanelAt } from './gesture-seam.ts';
import { nextInTurn, panelBeside, seamsInTurn, type Way } from './panel-neighbors.ts';
import { removeItem } from './remove-item.tsx';
import { JOINT_WORDS, panelWords, seamWords } from './seam-words.ts';
import { rectOnBench } from './sides-placed.ts';
import { NUDGE_FAST, NUDGE_MM, WHOLE_UNIT_MM } from './snap-steps.ts';
import { stepTrace, tracePathInHand } from './trace.ts';

/** An arrow key: moves the selection where it can move that way, else selects the next item that way. */
export function goWay(way: Way): void {
  const chosen = selection.value;
  const layout = layoutHere();
  if (tool.value === 'trace') {
    stepTrace(way === 'left' || way === 'up' ? -1 : 1);
  } else if (chosen.kind === 'item' || chosen.kind === 'side') {
    nudge(way, false);
  } else if (layout && chosen.kind === 'seams') {
    const seam = layout.seams.find(({ id }) => id === chosen.seamIds[0]);
    if (seam && isAcross(seam, way)) nudge(way, false);
    else stepSeam(way === 'left' || way === 'up' ? -1 : 1);
  } else if (layout) {
    const panel = layout.panels.find(({ id }) => chosen.kind === 'panel' && id === chosen.panelId);
    const next = panel ? panelBeside(layout, panel, way) : layout.panels[0];
    if (next) choosePanel(layout, next);
  }
}

const isAcross = (seam: Seam, way: Way): boolean =>
  (seam.direction === 'vertical') === (way === 'left' || way === 'right');

/** Moves the selection by one step of the unit, or ten. Consecutive presses are one undo step. */
export function nudge(way: Way, isFast: boolean): void {
  const current = job.value;
  const chosen = selection.value;
  if (!current) return;
  const step = NUDGE_MM[current.displayUnit] * (isFast ? NUDGE_FAST : 1);
  const by = {
    x: way === 'left' ? -step : way === 'right' ? step : 0,
    y: way === 'up' ? -step : way === 'down' ? step : 0,
  };
  switch (chosen.kind) {
    case 'none':
    case 'panel':
      return;
    case 'seams':
      nudgeSeams(chosen, by);
      return;
    case 'item':
      editJob('Move a line or area', (now) => itemMove(now, { ...chosen, byMm: by }), {
        gesture: `nudge ${chosen.itemId}`,
      });
      return;
    case 'side':
      nudgeSide(chosen.sideId, by);
      return;
  }
}

function nudgeSeams(
  chosen: Extract<Selection, { kind: 'seams' }>,
  by: { readonly x: Mm; readonly y: Mm },
): void {
  const layout = layoutOf(chosen.sideId);
  if (!layout) return;
  const moving = chosen.seamIds.flatMap((id) => layout.seams.find((seam) => seam.id === id) ?? []);
  // The foremost seam moves first, or it would block those behind it.
  const forward = by.x + by.y > 0;
  const ordered = moving.toSorted((a, b) => (forward ? b.at - a.at : a.at - b.at));
  const isLocked = ordered.some((seam) => jointLocked(layout, seam.id));
  if (isLocked) {
    announce('A selected seam is locked. Unlock it to move it.');
    return;
  }
  const problem = editJob(
    'Move a seam',
    (now: Job) => {
      let moved = { ok: true as const, value: now } as ReturnType<typeof seamMove>;
      for (const seam of ordered) {
        const stepMm = seam.direction === 'vertical' ? by.x : by.y;
        if (moved.ok && stepMm !== 0) {
          const atMm = seamPlaceOf(moved.value, chosen.sideId, seam.id) + stepMm;
          moved = seamMove(moved.value, { sideId: chosen.sideId, seamId: seam.id, atMm });
        }
      }
      return moved;
    },
    { gesture: `nudge ${chosen.seamIds.join(' ')}` },
  );
  if (!problem) announceSeam(chosen.sideId, firstOf(chosen.seamIds));
}

/** The position of a joint; for a seam with shape, the position that its points are measured from. */
function seamPlaceOf(now: Job, sideId: string, seamId: string): Mm {
  const side = foundIn(now.sides, ({ id }) => id === sideId);
  return foundIn(regionJoints(side.layout), ({ id }) => id === seamId).atMm;
}

const jointLocked = (layout: SideLayout, seamId: string): boolean =>
  seamInSplit(layout.side.layout, layout.outline, seamId)?.joint.locked === true;

function nudgeSide(sideId: string, by: { readonly x: Mm; readonly y: Mm }): void {
  editJob(
    'Move a side on its page',
    (now) => {
      const { artworkRect } = foundIn(now.sides, ({ id }) => id === sideId);
      const change = {
        artworkRect: {
          ...artworkRect,
          xMm: artworkRect.xMm + by.x / now.scale,
          yMm: artworkRect.yMm + by.y / now.scale,
        },
      };
      return sideSet(now, { sideId, change });
    },
    { gesture: `nudge ${sideId}` },
  );
}

export function stepPanel(by: 1 | -1): void {
  const layout = layoutHere();
  const chosen = selection.value;
  const next = layout && nextInTurn(layout.panels, chosen.kind === 'panel' ? chosen.panelId : undefined, by);
  if (layout && next) choosePanel(layout, next);
}

export function stepSeam(by: 1 | -1 | 'all'): void {
  const layout = layoutHere();
  if (!layout) return;
  const sideId = layout.side.id;
  if (by === 'all') {
    if (layout.seams.length === 0) return;
    selection.value = { kind: 'seams', sideId, seamIds: layout.seams.map(({ id }) => id) };
    announce(`All ${layout.seams.length} seams of ${layout.side.name} are selected.`);
    return;
  }
  const chosen = selection.value;
  const from = chosen.kind === 'seams' ? chosen.seamIds[0] : undefined;
  const next = nextInTurn(seamsInTurn(layout.seams), from, by);
  if (!next) {
    announce('This side has no seam yet.');
    return;
  }
  selection.value = { kind: 'seams', sideId, seamIds: [next.id] };
  announceSeam(sideId, next.id);
  const placed = placedSide(sideId);
  if (placed) zoomToRect(rectOnBench(placed, seamRect(next)));
}

export function removeChosen(): void {
  const chosen = selection.value;
  switch (chosen.kind) {
    case 'none':
    case 'panel':
      announce('Select a seam, a line or an area to remove it.');
      return;
    case 'seams':
      editJob(chosen.seamIds.length === 1 ? 'Remove a seam' : 'Remove seams', (now) => {
        let removed = { ok: true as const, value: now } as ReturnType<typeof seamRemove>;
        for (const seamId of chosen.seamIds) {
          if (removed.ok) removed = seamRemove(removed.value, { sideId: chosen.sideId, seamId });
        }
        return removed;
      });
      return;
    case 'item':
      removeItem(chosen);
      return;
    case 'side':
      editJob('Remove a side', (now) => sideRemove(now, chosen));
      clearSelection();
      return;
  }
}

/** Whether the current tool puts a line or an area on a side. */
export const isPlacedTool = (candidate: Tool): boolean =>
  isLineTool(candidate) ||
  candidate === 'line-points' ||
  candidate === 'trace' ||
  isGuideTool(candidate) ||
  isAreaTool(candidate);

/**
 * Enter: with a seam tool a panel is cut; with a line or area tool, it is put in the middle of the side; with a
 * template path it is traced; else the first panel is selected.
 */
export function takeFigure(): void {
  const direction = seamInHand();
  const layout = layoutHere();
  if (direction) cutInMiddle(direction);
  else if (tool.value === 'trace') tracePathInHand();
  else if (layout && isLineTool(tool.value)) addLineInMiddle({ layout });
  else if (layout && tool.value === 'line-points') takeLine({ layout });
  else if (layout && isGuideTool(tool.value)) dropGuideInMiddle({ layout });
  else if (layout && isAreaTool(tool.value)) takeArea({ layout });
  else if (layout?.panels[0]) choosePanel(layout, layout.panels[0]);
}

/** Cuts the selected panel, or the first, in its middle: the seam is selected, and the arrow keys move it from there. */
export function cutInMiddle(direction: SeamDirection): void {
  const chosen = selection.value;
  const [layout, current] = [layoutHere(), job.value];
  const panel = layout?.panels.find(({ id }) => chosen.kind !== 'panel' || id === chosen.panelId);
  if (!layout || !panel || !current) return;
  const across = rectAcross(panel.net, direction);
  const unit = WHOLE_UNIT_MM[current.displayUnit];
  const middle = (across.start + across.end) / 2;
  const whole = Math.round(middle / unit) * unit;
  const isInside = whole > across.start && whole < across.end;
  const problem = cutPanelAt(layout.side.id, panel, direction, isInside ? whole : middle);
  if (problem !== undefined) announce(problem);
  else if (seamInHand()) takeTool('select');
}

/** Selects a panel, moves it into view and reads it out. */
export function choosePanel(layout: SideLayout, panel: Panel): void {
  selection.value = { kind: 'panel', sideId: panel.sideId, panelId: panel.id };
  const placed = placedSide(layout.side.id);
  if (placed) zoomToRect(rectOnBench(placed, panel.net));
  const current = job.value;
  if (current) announce(panelWords(panel, current));
}

function announceSeam(sideId: string, seamId: string): void {
  const current = job.value;
  const layout = layoutOf(sideId);
  const seam = layout?.seams.find(({ id }) => id === seamId);
  if (!current || !layout || !seam) return;
  const middle = (seam.span.start + seam.span.end) / 2;
  const words = seamWords(layout, seam, middle, current);
  const direction = seam.direction === 'vertical' ? 'Vertical' : 'Horizontal';
  announce(`${direction} ${JOINT_WORDS[seam.joint]}. ${words.join('. ')}`);
}

const layoutOf = (sideId: string): SideLayout | undefined =>
  layouts.value.find(({ side }) => side.id === sideId);

/** The current side, or the first on the bench. */
const layoutHere = (): SideLayout | undefined => layoutInHand.value ?? placedSides.value[0]?.layout;
