/** Two clicks mark the ends of a tape measurement on the vehicle. */

import { rectFromStored } from '../../core/job/stored-rect.ts';
import { longLengthText } from '../../core/measure/long-length.ts';
import type { Point } from '../../core/measure/rect.ts';
import { finishedFromDrawn } from '../../core/measure/spaces.ts';
import { job } from '../state/open-job.ts';
import {
  announce,
  clearDrafts,
  draftMeasure,
  type Measure,
  measures,
  placedSides,
  readout,
  stagePage,
} from './bench-state.ts';
import type { BenchPointer } from './gesture.ts';
import { pointOnSide, sideAtPoint } from './sides-placed.ts';

/** The page and the drawn point under a point of the bench. */
export function pagePointAt(
  at: Point,
): { readonly page: number; readonly point: Point<'drawn'> } | undefined {
  const current = job.value;
  if (!current) return undefined;
  const page = stagePage.value;
  if (page) return { page: page.number, point: { x: at.x / current.scale, y: at.y / current.scale } };
  const placed = sideAtPoint(placedSides.value, at, current.output.borderMm);
  if (!placed) return undefined;
  const { side } = placed.layout;
  if (side.page === undefined) return undefined;
  const drawn = finishedFromDrawn(rectFromStored(side.artworkRect), current.scale);
  return { page: side.page, point: drawn.pointBack(pointOnSide(placed, at)) };
}

/** First click begins, second ends. */
export function clickMeasure(pointer: BenchPointer): void {
  const on = pagePointAt(pointer.mm);
  if (!on) return;
  const begun = draftMeasure.value;
  if (!begun || begun.page !== on.page) {
    draftMeasure.value = { id: Date.now(), page: on.page, from: on.point, to: on.point };
    announce('Now click the other end.');
    return;
  }
  measures.value = [...measures.value, { ...begun, to: measureEnd(begun, on.point, pointer.isFree) }];
  clearDrafts();
  announce('Type what the tape showed under Artwork.');
}

export function previewMeasure(pointer: BenchPointer): void {
  const begun = draftMeasure.value;
  const on = pagePointAt(pointer.mm);
  const current = job.value;
  if (!begun || !on || on.page !== begun.page || !current) return;
  const to = measureEnd(begun, on.point, pointer.isFree);
  draftMeasure.value = { ...begun, to };
  const drawn = Math.hypot(to.x - begun.from.x, to.y - begun.from.y);
  readout.value = {
    at: pointer.px,
    lines: [
      `${longLengthText(drawn * current.scale, current.displayUnit)} at 1:${current.scale}`,
      `${longLengthText(drawn, current.displayUnit)} on the page`,
    ],
  };
}

/** A tape is held level or upright more often than not: within a few degrees the end is drawn to that. */
const STRAIGHT_SHARE = 0.04;

function measureEnd({ from }: Measure, to: Point<'drawn'>, isFree: boolean): Point<'drawn'> {
  const [dx, dy] = [Math.abs(to.x - from.x), Math.abs(to.y - from.y)];
  if (isFree) return to;
  if (dy < dx * STRAIGHT_SHARE) return { x: to.x, y: from.y };
  return dx < dy * STRAIGHT_SHARE ? { x: from.x, y: to.y } : to;
}
