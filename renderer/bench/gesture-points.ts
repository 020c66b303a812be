/**
 * Body lines and outlines drawn point by point: each click sets a point; a click on the last point or Enter ends it;
 * for an outline also a click on the first.
 */
import { signal } from '@preact/signals';
import { lineFromPath } from '../../core/job/body-line.ts';
import { bodyLineDraw, type EditResult, itemAdd } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import { pointSnap, sideSnapLines } from '../../core/layout/point-snap.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import type { Point } from '../../core/measure/rect.ts';
import { editJob, job, layouts, pageExtents } from '../state/open-job.ts';
import { AREA_TOOLS, type AreaTool, areaAdded, isAreaTool } from './area-tools.ts';
import { announce, clearDrafts, draft, readout, type Tool, tool, viewport } from './bench-state.ts';
import type { BenchPointer } from './gesture.ts';
import { chooseNewItem } from './gesture-item.ts';
import { snapWords } from './seam-words.ts';
import { picturesOf } from './side-scan.ts';
import { type PlacedSide, pointOnSide } from './sides-placed.ts';
import { AREA_STEP_MM, HOLD_REACH_PX, SNAP_REACH_PX, stepped } from './snap-steps.ts';

interface PointsDrawn {
  readonly tool: Tool;
  readonly sideId: string;
  readonly points: readonly Point<'finished'>[];
}

const drawn = signal<PointsDrawn | undefined>(undefined);

/** Whether a line or an outline has points but is not ended yet. */
export const arePointsBegun = (): boolean => pointsInHand() !== undefined;

/** Another tool drops the unfinished drawing. */
const pointsInHand = (): PointsDrawn | undefined =>
  drawn.value?.tool === tool.value ? drawn.value : undefined;

export function dropPoints(): void {
  drawn.value = undefined;
  clearDrafts();
}

/** Takes back the last point. */
export function dropLastPoint(): void {
  const now = pointsInHand();
  if (!now) return;
  const points = now.points.slice(0, -1);
  drawn.value = points.length > 0 ? { ...now, points } : undefined;
  clearDrafts();
  announce(points.length > 0 ? `${pointCount(points.length)} left.` : 'No point left.');
}

const pointCount = (count: number): string => `${count} ${count === 1 ? 'point' : 'points'}`;

function pointAt(placed: PlacedSide, pointer: BenchPointer) {
  const at = pointOnSide(placed, pointer.mm);
  if (pointer.isFree) return { point: at, targets: [] };
  // The side as it is without the line that is being drawn.
  const layout = layouts.value.find(({ side }) => side.id === placed.layout.side.id) ?? placed.layout;
  const lines = sideSnapLines(layout, picturesOf(layout.side));
  const snapped = pointSnap(lines, at, SNAP_REACH_PX / viewport.value.pxPerMm);
  if (snapped.targets.length > 0) return snapped;
  const step = AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];
  return { point: { x: stepped(at.x, step), y: stepped(at.y, step) }, targets: [] };
}

/** The line or outline as it would be with the point under the pointer. */
export function previewPoint(placed: PlacedSide, pointer: BenchPointer): void {
  const current = job.value;
  const sideId = placed.layout.side.id;
  const now = pointsInHand();
  if (!current || (now && now.sideId !== sideId)) return;
  const { point, targets } = pointAt(placed, pointer);
  const added = shapeShown(current, sideId, [...(now?.points ?? []), point]);
  const side = added.ok ? added.value.sides.find(({ id }) => id === sideId) : undefined;
  if (added.ok && side) draft.value = sideLayout(added.value, side, pageExtents.value);
  const unit = current.displayUnit;
  readout.value = {
    at: pointer.px,
    lines: [
      `${lengthText(point.x, unit)} from the left, ${lengthText(point.y, unit)} from the top`,
      ...new Set(targets.flatMap((target) => snapWords(target, unit) ?? [])),
    ],
  };
}

export function clickPoint(placed: PlacedSide, pointer: BenchPointer): void {
  const sideId = placed.layout.side.id;
  const what = tool.value === 'line-points' ? 'line' : 'outline';
  const now = pointsInHand();
  if (now && now.sideId !== sideId) {
    announce(`Go on with the ${what} on its own side, or press Escape to drop it.`);
    return;
  }
  const { point } = pointAt(placed, pointer);
  const reach = HOLD_REACH_PX / viewport.value.pxPerMm;
  const isAt = (set: Point | undefined) => set && Math.hypot(set.x - point.x, set.y - point.y) <= reach;
  if (now && (isAt(now.points.at(-1)) || (what === 'outline' && isAt(now.points[0])))) {
    endPoints();
    return;
  }
  const points = [...(now?.points ?? []), point];
  drawn.value = { tool: tool.value, sideId, points };
  const last = what === 'line' ? 'last' : 'first';
  announce(
    points.length === 1
      ? 'First point set. Click the next one.'
      : `${pointCount(points.length)} set. Click the ${last} one again, or press Enter, to end the ${what}.`,
  );
}

/** Enter: ends the line that is being drawn; with none begun, puts one of two points in the middle of the side. */
export function takeLine(placed: Pick<PlacedSide, 'layout'>): void {
  if (arePointsBegun()) endPoints();
  else addLineOfPoints(placed);
}

export function endPoints(): void {
  const now = pointsInHand();
  const inHand = tool.value;
  if (!now) return;
  if (isAreaTool(inHand)) {
    endOutline(now, inHand);
    return;
  }
  const before = job.value?.sides.find(({ id }) => id === now.sideId)?.bodyLines.length ?? 0;
  dropPoints();
  if (editJob('Draw a body line', (current) => bodyLineDraw(current, now))) return;
  const after = job.value?.sides.find(({ id }) => id === now.sideId)?.bodyLines.length ?? 0;
  chooseNewItem(now.sideId, 'bodyLines');
  const count = after - before;
  announce(count > 1 ? `The line turns back, so it became ${count} body lines.` : 'Body line drawn.');
}

/** An outline that crosses itself stays unfinished, so that its last points can be removed. */
function endOutline({ sideId, points }: PointsDrawn, kind: AreaTool): void {
  if (points.length < LEAST_CORNERS) {
    announce(`An outline needs ${LEAST_CORNERS} corners or more: click the next one.`);
    return;
  }
  const { list, label, name } = AREA_TOOLS[kind];
  if (editJob(label, (now) => areaAdded(now, kind, sideId, points))) return;
  dropPoints();
  chooseNewItem(sideId, list);
  announce(`${name} drawn with ${points.length} corners.`);
}

const LEAST_CORNERS = 3;

/** The first two points of an outline are shown as a line. */
function shapeShown(now: Job, sideId: string, points: readonly Point<'finished'>[]): EditResult {
  const inHand = tool.value;
  return isAreaTool(inHand) && points.length >= LEAST_CORNERS
    ? areaAdded(now, inHand, sideId, points)
    : bodyLineDraw(now, { sideId, points });
}

/** Its points can then be typed or dragged. */
function addLineOfPoints({ layout: { side, outline } }: Pick<PlacedSide, 'layout'>): void {
  const step = AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];
  const across = stepped(outline.height / 2, step);
  const path = [0.2, 0.8].map((share) => ({ along: stepped(outline.width * share, step), across }));
  const item = { name: 'Body line', kind: 'crease', direction: 'horizontal', ...lineFromPath(path) } as const;
  const problem = editJob('Draw a body line', (now) =>
    itemAdd(now, { sideId: side.id, list: 'bodyLines', item }),
  );
  if (!problem) chooseNewItem(side.id, 'bodyLines');
}
