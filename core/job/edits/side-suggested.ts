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

/** What a side of a vehicle is, as far as it has a usual name, in the order of `sideNamesOfJob`. */
const USUAL_SIDES = ['left', 'right', 'rear', 'front', 'roof', 'hood'] as const;
export type UsualSide = (typeof USUAL_SIDES)[number] | 'other';

/** Code, name and front of a side by what it is on the vehicle; a number where the job has a side of that code. */
export function sideOfRole(job: Pick<Job, 'sides' | 'sideNames' | 'vehicle'>, role: UsualSide): SideName {
  const usual = role === 'other' ? undefined : sideNamesOfJob(job)[USUAL_SIDES.indexOf(role)];
  const isFree = usual !== undefined && !job.sides.some(({ code }) => code === usual.code);
  return isFree ? usual : numberedSide(job);
}

function numberedSide({ sides }: Pick<Job, 'sides'>): SideName {
  let number = sides.length + 1;
  while (sides.some(({ code }) => code === `S${number}`)) number += 1;
  return { code: `S${number}`, name: `Side ${number}`, front: 'none' };
}

/** The next side of a job: the first usual one that it has not, else a number. `rect` is in drawn millimeters. */
export function sideSuggested(job: Job, page: number, rect: Rect): SideNew {
  const taken = new Set(job.sides.map(({ code }) => code));
  const free = sideNamesOfJob(job).find(({ code }) => !taken.has(code));
  return { ...(free ?? numberedSide(job)), page, artworkRect: storedFromRect(rect) };
}
