import type { Job, Side } from '../job/schema.ts';
import { sideVehicle } from '../job/vehicles.ts';
import type { SideLayout } from './side-layout.ts';

/**
 * Codes and names that shops give to a rear and to surfaces that face the wind; other sides without a front are roofs.
 */
const REAR = /^(rr|re|rear|bk|back)\b|\b(rear|back)\b/i;
const FACES_WIND = /^(fr|ft|front|hood|nose)\b|\b(front|hood|nose)\b/i;

/**
 * Sides in install order, one type of vehicle after the other. Where two sides wrap one corner, the one that faces wind
 * or rain is on top and therefore comes later: rear, then the sides from the rear forward, then the roof, then the
 * front. Common practice, no source.
 */
export function layoutsInInstallOrder(
  job: Pick<Job, 'vehicles'>,
  layouts: readonly SideLayout[],
): SideLayout[] {
  const vehicleRank = ({ side }: SideLayout) => job.vehicles.indexOf(sideVehicle(job, side));
  return layouts.toSorted((a, b) => vehicleRank(a) - vehicleRank(b) || sideRank(a.side) - sideRank(b.side));
}

function sideRank({ front, code: called, name }: Pick<Side, 'front' | 'code' | 'name'>): number {
  const code = called.slice(called.indexOf('-') + 1);
  if (front !== 'none') return 1;
  const is = (words: RegExp) => words.test(code) || words.test(name);
  if (is(REAR)) return 0;
  return is(FACES_WIND) ? 3 : 2;
}
