/** Where a ruler has its ticks: round steps of the job's unit, close enough to read and never crowded. */
import { decimalText } from '../../core/measure/length-text.ts';
import { lastOf } from '../../core/measure/present.ts';
import { MM_PER_INCH, type Mm } from '../../core/measure/units.ts';

export interface RulerTick {
  readonly atMm: Mm;
  /** Absent on the fine ticks between two numbers. */
  readonly label?: string;
}

/** A step between numbers, and how many fine steps divide it. */
interface RulerStep {
  readonly mm: Mm;
  readonly fine: number;
}

const MM_STEPS: readonly RulerStep[] = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000].map(
  (mm) => ({ mm, fine: String(mm).startsWith('2') ? 4 : String(mm).startsWith('5') ? 5 : 10 }),
);

/** Halves and quarters below an inch, whole feet above it, as a tape is divided. */
const INCH_STEPS: readonly RulerStep[] = (
  [
    [0.25, 4],
    [0.5, 4],
    [1, 4],
    [2, 4],
    [6, 6],
    [12, 12],
    [24, 4],
    [60, 5],
    [120, 10],
    [240, 4],
    [600, 10],
  ] as const
).map(([inches, fine]) => ({ mm: inches * MM_PER_INCH, fine }));

/** The ticks that a ruler from `fromMm` to `toMm` shows, in order, its numbers no closer than `leastGapPx`. */
export function rulerTicks(
  fromMm: Mm,
  toMm: Mm,
  pxPerMm: number,
  unit: 'mm' | 'in',
  leastGapPx: number,
): readonly RulerTick[] {
  const steps = unit === 'mm' ? MM_STEPS : INCH_STEPS;
  const step = steps.find(({ mm }) => mm * pxPerMm >= leastGapPx) ?? lastOf(steps);
  const fineMm = step.mm / step.fine;
  const first = Math.ceil(fromMm / fineMm - 1e-9);
  const last = Math.floor(toMm / fineMm + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index): RulerTick => {
    const n = first + index;
    const atMm = n * fineMm;
    if (n % step.fine !== 0) return { atMm };
    return { atMm, label: decimalText(unit === 'mm' ? atMm : atMm / MM_PER_INCH, 2) };
  });
}
