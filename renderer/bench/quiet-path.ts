/** The quiet-line curve as a path: its height at each position is how much picture a seam there must register. */
import { signal } from '@preact/signals';
import type { Mm } from '../../core/measure/units.ts';
import type { PlanAnswer, QuietCurve } from '../../core/seams/plan-answer.ts';

/** The quiet lines of the side on the bench, once layouts were suggested for it. */
export const quietOnBench = signal<PlanAnswer['quiet']>(undefined);

export const quietCurveMost = ({ busyMeters }: QuietCurve): number =>
  busyMeters.reduce((most, busy) => Math.max(most, busy), 0);

export interface QuietPathShape {
  /** Along the top, with its foot at `footPx` and growing up; along the left, growing to the left. */
  readonly edge: 'top' | 'left';
  readonly footPx: number;
  readonly heightPx: number;
  readonly pxPerMm: number;
  /** Position on the side of pixel 0. */
  readonly fromMm: Mm;
}

/**
 * A filled path. `mostMeters` is the busyness that takes the whole height. Empty where the picture is blank.
 */
export function quietPath(curve: QuietCurve, mostMeters: number, shape: QuietPathShape): string {
  if (mostMeters <= 0 || curve.busyMeters.length === 0) return '';
  const { edge, footPx, heightPx, pxPerMm, fromMm } = shape;
  const point = (alongPx: number, busy: number): string => {
    const along = round(alongPx);
    const away = round(footPx - (Math.min(busy, mostMeters) / mostMeters) * heightPx);
    return edge === 'top' ? `${along} ${away}` : `${away} ${along}`;
  };
  const along = (index: number) => (index * curve.stepMm - fromMm) * pxPerMm;
  const points = curve.busyMeters.map((busy, index) => point(along(index), busy));
  const first = point(along(0), 0);
  const last = point(along(curve.busyMeters.length - 1), 0);
  return `M${first}L${points.join('L')}L${last}z`;
}

const round = (px: number): number => Math.round(px * 10) / 10;
