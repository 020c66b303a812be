/** The distance between two points of a side, measured on the bench. It is not part of the job. */
import { signal } from '@preact/signals';
import { lengthText } from '../../core/measure/length-text.ts';
import type { Point } from '../../core/measure/rect.ts';
import { showProblem } from '../state/notices.ts';
import { job } from '../state/open-job.ts';
import { announce, placedSide, sideInHand, takeTool } from './bench-state.ts';

export interface Distance {
  readonly sideId: string;
  readonly from: Point<'finished'>;
  readonly to: Point<'finished'>;
  /** Whether both ends are set; until then the second one follows the pointer. */
  readonly isDone: boolean;
}

const measured = signal<Distance | undefined>(undefined);

/** What is measured; nothing once its side is no longer on the bench. */
export function distanceOnBench(): Distance | undefined {
  const now = measured.value;
  return now && placedSide(now.sideId) ? now : undefined;
}

export function showDistance(next: Distance): void {
  measured.value = next;
}

export function endMeasuring(): void {
  measured.value = undefined;
}

export interface DistanceFigures {
  readonly length: string;
  readonly across: string;
  readonly upAndDown: string;
}

export function distanceFigures({ from, to }: Distance, unit: 'mm' | 'in'): DistanceFigures {
  const text = (mm: number) => lengthText(mm, unit);
  return {
    length: text(Math.hypot(to.x - from.x, to.y - from.y)),
    across: text(Math.abs(to.x - from.x)),
    upAndDown: text(Math.abs(to.y - from.y)),
  };
}

export function announceDistance(): void {
  const [now, current] = [measured.value, job.value];
  if (!now || !current) return;
  const { length, across, upAndDown } = distanceFigures(now, current.displayUnit);
  announce(`${length} apart: ${across} across, ${upAndDown} up and down.`);
}

export type DistanceEnd = 'from' | 'to';

/** Sets one typed coordinate of an end; an end that is not set yet begins in the top left corner. */
export function typeDistance(end: DistanceEnd, change: Partial<Point<'finished'>>): void {
  const sideId = distanceOnBench()?.sideId ?? sideInHand.value?.id;
  if (sideId === undefined) return;
  const corner: Point<'finished'> = { x: 0, y: 0 };
  const { from, to } = measured.value ?? { from: corner, to: corner };
  const ends = { from, to };
  measured.value = { sideId, ...ends, [end]: { ...ends[end], ...change }, isDone: true };
  announceDistance();
}

export async function copyFigure(figure: keyof DistanceFigures): Promise<void> {
  const [now, current] = [distanceOnBench(), job.value];
  if (!now || !current) return;
  const text = distanceFigures(now, current.displayUnit)[figure];
  try {
    await navigator.clipboard.writeText(text);
    announce(`Copied: ${text}`);
  } catch {
    showProblem({
      code: 'clipboard-refused',
      message: `The clipboard did not take “${text}”.`,
      remedy: 'Click into the window and copy again.',
    });
  }
}

export function measureAgain(): void {
  endMeasuring();
  takeTool('distance');
}
