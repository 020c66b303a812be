/** What a side is called, and which way it drives, where nobody has said yet. */
import type { Rect } from '../../measure/rect.ts';
import { LEFT_RIGHT_SIDES, type SidePair } from '../../shop/side-names.ts';
import type { Job, Side } from '../schema.ts';
import { storedFromRect } from '../stored-rect.ts';
import type { SideNew } from './side-edits.ts';

type SideName = Pick<Side, 'code' | 'name' | 'front'>;

/** The long sides of the job's vehicle, as its shop calls them. */
export function jobSidePair({ sideNames, vehicle }: Pick<Job, 'sideNames' | 'vehicle'>): SidePair {
  const { vehicle: ofVehicle, trailer } = sideNames ?? LEFT_RIGHT_SIDES;
  return vehicle.kind === 'trailer' || vehicle.kind === 'bus' ? trailer : ofVehicle;
}

/** In the order in which a shop draws sides. In the trade RR and RF are the right rear and the right front. */
export function sideNamesOfJob(job: Pick<Job, 'sideNames' | 'vehicle'>): readonly SideName[] {
  const { left, right } = jobSidePair(job);
  return [
    { ...left, front: 'left' },
    { ...right, front: 'right' },
    { code: 'REAR', name: 'Rear', front: 'none' },
    { code: 'FRONT', name: 'Front', front: 'none' },
    { code: 'ROOF', name: 'Roof', front: 'none' },
    { code: 'HOOD', name: 'Hood', front: 'none' },
  ];
}

/** The next side of a job: the first usual one that it has not, else a number. `rect` is in drawn millimeters. */
export function sideSuggested(job: Job, page: number, rect: Rect): SideNew {
  const taken = new Set(job.sides.map(({ code }) => code));
  const free = sideNamesOfJob(job).find(({ code }) => !taken.has(code));
  let number = job.sides.length + 1;
  while (taken.has(`S${number}`)) number += 1;
  const named = free ?? { code: `S${number}`, name: `Side ${number}`, front: 'none' };
  return { ...named, page, artworkRect: storedFromRect(rect) };
}
