/** Adding, changing and removing sides. */
import { edgeLengthsAll } from '../../measure/rect.ts';
import { resultOk } from '../../measure/result.ts';
import { DEFAULT_BLEED_MM } from '../defaults.ts';
import { freshIds } from '../fresh-id.ts';
import type { Job, Side } from '../schema.ts';
import { type EditResult, editFinished, sideEdited, sideUnknown } from './edit.ts';

/** What a new side must say; the rest starts empty, with one panel over the whole side. */
export type SideNew = Pick<Side, 'code' | 'name' | 'page' | 'artworkRect' | 'front'> &
  Partial<Omit<Side, 'id'>>;

export function sideAdd(job: Job, given: { readonly side: SideNew; readonly id?: string }): EditResult {
  const fresh = freshIds(job);
  const side: Side = {
    id: given.id ?? fresh('s'),
    bleed: edgeLengthsAll(DEFAULT_BLEED_MM),
    bodyLines: [],
    noSeamAreas: [],
    ground: [],
    noFilmAreas: [],
    layout: { kind: 'panel', id: fresh('p') },
    notes: '',
    ...given.side,
  };
  return editFinished(job, { ...job, sides: [...job.sides, side] });
}

export function sideRemove(job: Job, { sideId }: { readonly sideId: string }): EditResult {
  if (!job.sides.some(({ id }) => id === sideId)) return sideUnknown(sideId);
  return editFinished(job, { ...job, sides: job.sides.filter(({ id }) => id !== sideId) });
}

/** Fields of a side to change; `measured: null` forgets the measures. */
export type SideChange = Partial<Omit<Side, 'id' | 'layout' | 'measured'>> & {
  readonly measured?: Side['measured'] | null;
};

export function sideSet(
  job: Job,
  { sideId, change }: { readonly sideId: string; readonly change: SideChange },
): EditResult {
  return sideEdited(job, sideId, ({ side }) => {
    const { measured: before, ...rest } = side;
    const { measured: given, ...changed } = change;
    const measured = given === undefined ? before : (given ?? undefined);
    return resultOk({ ...rest, ...changed, ...(measured ? { measured } : {}) });
  });
}

/** Moves a side to another place in the list of sides, counted from 0. */
export function sideReorder(
  job: Job,
  { sideId, toIndex }: { readonly sideId: string; readonly toIndex: number },
): EditResult {
  const side = job.sides.find(({ id }) => id === sideId);
  if (!side) return sideUnknown(sideId);
  const others = job.sides.filter((other) => other !== side);
  return editFinished(job, { ...job, sides: others.toSpliced(toIndex, 0, side) });
}
