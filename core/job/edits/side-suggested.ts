/** What a side is called, and which way it drives, where nobody has said yet. */
import type { Rect } from '../../measure/rect.ts';
import type { Job, Side } from '../schema.ts';
import { storedFromRect } from '../stored-rect.ts';
import type { SideNew } from './side-edits.ts';

/** Codes in the order in which a shop draws sides; RR is the rear, so that RH stays the right-hand side. */
const SIDES_OF_A_UNIT: readonly Pick<Side, 'code' | 'name' | 'front'>[] = [
  { code: 'LH', name: 'Left side', front: 'left' },
  { code: 'RH', name: 'Right side', front: 'right' },
  { code: 'RR', name: 'Rear', front: 'none' },
  { code: 'FR', name: 'Front', front: 'none' },
  { code: 'RF', name: 'Roof', front: 'none' },
];

/** The next side of a job: the first usual one that it has not, else a number. `rect` is in drawn millimeters. */
export function sideSuggested(job: Job, page: number, rect: Rect): SideNew {
  const taken = new Set(job.sides.map(({ code }) => code));
  const free = SIDES_OF_A_UNIT.find(({ code }) => !taken.has(code));
  let number = job.sides.length + 1;
  while (taken.has(`S${number}`)) number += 1;
  const named = free ?? { code: `S${number}`, name: `Side ${number}`, front: 'none' };
  return { ...named, page, artworkRect: storedFromRect(rect) };
}
