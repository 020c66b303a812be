/** Measures a distance between two clicks; each end snaps to what is there. */
import { pointSnap, type SnappedPoint, sideSnapLines } from '../../core/layout/point-snap.ts';
import type { Point } from '../../core/measure/rect.ts';
import { job } from '../state/open-job.ts';
import { announce, readout, viewport } from './bench-state.ts';
import {
  announceDistance,
  type Distance,
  distanceFigures,
  distanceOnBench,
  showDistance,
} from './distance.ts';
import type { BenchPointer } from './gesture.ts';
import { snapWords } from './seam-words.ts';
import { picturesOf } from './side-scan.ts';
import { type PlacedSide, pointOnSide } from './sides-placed.ts';
import { SNAP_REACH_PX } from './snap-steps.ts';

/** The first click begins, the second ends, the third begins the next distance. */
export function clickDistance(placed: PlacedSide, pointer: BenchPointer): void {
  const begun = begunOn(placed);
  const { point } = endAt(placed, pointer, begun?.from);
  readout.value = undefined;
  if (begun) {
    showDistance({ ...begun, to: point, isDone: true });
    announceDistance();
    return;
  }
  showDistance({ sideId: placed.layout.side.id, from: point, to: point, isDone: false });
  announce('Now click the other end.');
}

/** The second end follows the pointer. Before the first click, only the snap of the point is shown. */
export function previewDistance(placed: PlacedSide, pointer: BenchPointer): void {
  const current = job.value;
  if (!current) return;
  const begun = begunOn(placed);
  const { point, targets } = endAt(placed, pointer, begun?.from);
  const reasons = [...new Set(targets.flatMap((target) => snapWords(target, current.displayUnit) ?? []))];
  if (begun) showDistance({ ...begun, to: point });
  const lines = begun ? [...figureLines({ ...begun, to: point }, current.displayUnit), ...reasons] : reasons;
  readout.value = lines.length > 0 ? { at: pointer.px, lines } : undefined;
}

function figureLines(distance: Distance, unit: 'mm' | 'in'): readonly string[] {
  const { length, across, upAndDown } = distanceFigures(distance, unit);
  return [length, `${across} across, ${upAndDown} up and down`];
}

function begunOn({ layout }: PlacedSide): Distance | undefined {
  const now = distanceOnBench();
  return now && !now.isDone && now.sideId === layout.side.id ? now : undefined;
}

/** A tape is held level or upright more often than not: within a few degrees the end is drawn to that. */
const STRAIGHT_SHARE = 0.04;

function endAt(placed: PlacedSide, pointer: BenchPointer, from: Point<'finished'> | undefined): SnappedPoint {
  const at = pointOnSide(placed, pointer.mm);
  if (pointer.isFree) return { point: at, targets: [] };
  const lines = sideSnapLines(placed.layout, picturesOf(placed.layout.side));
  const snapped = pointSnap(lines, at, SNAP_REACH_PX / viewport.value.pxPerMm);
  return from
    ? { ...snapped, point: straightened(from, snapped.point, snapped.targets.length > 1) }
    : snapped;
}

/** Level or upright where it nearly is, unless both of its coordinates are held by something. */
function straightened(from: Point<'finished'>, to: Point<'finished'>, isHeld: boolean): Point<'finished'> {
  const [dx, dy] = [Math.abs(to.x - from.x), Math.abs(to.y - from.y)];
  if (isHeld) return to;
  if (dy < dx * STRAIGHT_SHARE) return { x: to.x, y: from.y };
  return dx < dy * STRAIGHT_SHARE ? { x: from.x, y: to.y } : to;
}
