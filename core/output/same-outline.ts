import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { ManifestPanel } from './manifest.ts';

type Outlined = Pick<ManifestPanel, 'finishedBox' | 'finishedOutline'>;

/** Whether two panels have the same outline at the same place of their side. */
export function isSameOutline(a: Outlined, b: Outlined): boolean {
  const [one, other] = [a.finishedOutline ?? [], b.finishedOutline ?? []];
  const pairs = [
    ...(['xMm', 'yMm', 'widthMm', 'heightMm'] as const).map(
      (key) => [a.finishedBox[key], b.finishedBox[key]] as const,
    ),
    ...one.flatMap(({ xMm, yMm }, i) => [[xMm, other[i]?.xMm] as const, [yMm, other[i]?.yMm] as const]),
  ];
  return (
    one.length === other.length &&
    pairs.every(([was, is]) => is !== undefined && Math.abs(was - is) <= LENGTH_TOLERANCE_MM)
  );
}
