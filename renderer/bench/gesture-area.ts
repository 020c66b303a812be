/** Drawing areas and doors: pressing and dragging makes a rectangle, clicks set the corners of an outline. */

import { storedFromRect } from '../../core/job/stored-rect.ts';
import { type Point, type Rect, rectPoints, type Space } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { editJob, job } from '../state/open-job.ts';
import { AREA_TOOLS, type AreaTool, areaAdded } from './area-tools.ts';
import { clearDrafts, readout, tool, viewport } from './bench-state.ts';
import { type BenchPointer, type Gesture, isClick, LEAST_DRAWN_PX } from './gesture.ts';
import { areaWords, chooseNewItem, previewEdit, stepMm } from './gesture-item.ts';
import { arePointsBegun, clickPoint, endPoints, previewPoint } from './gesture-points.ts';
import { type PlacedSide, pointOnSide } from './sides-placed.ts';
import { AREA_STEP_MM, stepped } from './snap-steps.ts';

export function areaDraw(placed: PlacedSide, from: BenchPointer): Gesture {
  const kind = tool.value as AreaTool;
  const { name } = AREA_TOOLS[kind];
  const sideId = placed.layout.side.id;
  let rect: Rect<'finished'> | undefined;

  return {
    move(pointer) {
      if (arePointsBegun()) {
        previewPoint(placed, pointer);
        return;
      }
      if (isClick(from, pointer)) return;
      rect = rectBetween(pointOnSide(placed, from.mm), pointOnSide(placed, pointer.mm), stepMm(pointer));
      if (!isLargeEnough(rect)) {
        rect = undefined;
        return;
      }
      const points = rectPoints(rect);
      previewEdit(sideId, (now) => areaAdded(now, kind, sideId, points));
      const unit = job.value?.displayUnit ?? 'mm';
      readout.value = { at: pointer.px, lines: areaWords(name, storedFromRect(rect), unit) };
    },
    end(pointer) {
      clearDrafts();
      if (rect) addArea(kind, sideId, rect);
      else clickPoint(placed, pointer);
    },
  };
}

function addArea(kind: AreaTool, sideId: string, rect: Rect<'finished'>): void {
  const { list, label } = AREA_TOOLS[kind];
  if (!editJob(label, (now) => areaAdded(now, kind, sideId, rectPoints(rect)))) chooseNewItem(sideId, list);
}

/** Enter: ends the outline that is begun, else puts an area of a fifth of the side each way in its middle. */
export function takeArea({ layout: { outline, side } }: Pick<PlacedSide, 'layout'>): void {
  if (arePointsBegun()) {
    endPoints();
    return;
  }
  const step = AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];
  const [width, height] = [stepped(outline.width / 5, step), stepped(outline.height / 5, step)];
  const [x, y] = [stepped((outline.width - width) / 2, step), stepped((outline.height - height) / 2, step)];
  addArea(tool.value as AreaTool, side.id, { x, y, width, height });
}

const isLargeEnough = ({ width, height }: Rect): boolean =>
  Math.min(width, height) * viewport.value.pxPerMm >= LEAST_DRAWN_PX;

/** The rectangle with these two points as opposite corners, its edges on whole steps. */
export function rectBetween<S extends Space>(a: Point<S>, b: Point<S>, step: Mm): Rect<S> {
  const x = stepped(Math.min(a.x, b.x), step);
  const y = stepped(Math.min(a.y, b.y), step);
  return {
    x,
    y,
    width: stepped(Math.max(a.x, b.x), step) - x,
    height: stepped(Math.max(a.y, b.y), step) - y,
  };
}
