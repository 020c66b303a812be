/** A gesture is what one press of the pointer does until it is let go. */

import type { Point } from '../../core/measure/rect.ts';
import type { PxPoint } from './viewport.ts';

/** The pointer, on the screen and on the bench. */
export interface BenchPointer {
  readonly px: PxPoint;
  readonly mm: Point;
  /** Alt held: nothing snaps. */
  readonly isFree: boolean;
  /** Shift or Ctrl held: add to what is chosen. */
  readonly isAdding: boolean;
}

export interface Gesture {
  move(pointer: BenchPointer): void;
  end(pointer: BenchPointer): void;
}

/** A press that wanders less than this is a click. */
const CLICK_PX = 4;

export const isClick = (from: BenchPointer, to: BenchPointer): boolean =>
  Math.hypot(to.px.xPx - from.px.xPx, to.px.yPx - from.px.yPx) < CLICK_PX;

/** The shortest side that a drawn rectangle may have, so that a shaky click draws nothing. */
export const LEAST_DRAWN_PX = 6;
