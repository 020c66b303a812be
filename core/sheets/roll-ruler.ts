import { lastOf } from '../measure/present.ts';
import { MM_PER_FOOT, type Mm } from '../measure/units.ts';
import type { DisplayUnit } from './sheet-length.ts';

/** Distances in whole meters or feet between the numbers of a ruler. */
const STEPS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000] as const;
const UNITS: Readonly<Record<DisplayUnit, { readonly mm: Mm; readonly name: string }>> = {
  mm: { mm: 1000, name: 'm' },
  in: { mm: MM_PER_FOOT, name: 'ft' },
};

export interface RulerTick {
  readonly atMm: Mm;
  /** `15 m`; absent at a tick between two numbers. */
  readonly text?: string;
}

/**
 * Ticks along a stretch of film: numbers at least `apartMm` of film apart, one tick per meter or foot where they fit.
 */
export function rulerTicks(fromMm: Mm, toMm: Mm, apartMm: Mm, unit: DisplayUnit): RulerTick[] {
  const { mm, name } = UNITS[unit];
  const step = STEPS.find((count) => count * mm >= apartMm) ?? lastOf(STEPS);
  const between = step % 5 === 0 ? step / 5 : 1;
  const ticks: RulerTick[] = [];
  for (let count = Math.ceil(fromMm / mm / between) * between; count * mm <= toMm; count += between) {
    const atMm = count * mm;
    ticks.push(count % step === 0 ? { atMm, text: `${count} ${name}` } : { atMm });
  }
  return ticks;
}
