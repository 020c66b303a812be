/** Adding, changing and removing sides. */
import { edgeLengthsAll } from '../../measure/rect.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import type { SidePhoto } from '../../vehicle/side-photo.ts';
import { freshIds } from '../fresh-id.ts';
import { jobAllowances } from '../joint-default.ts';
import type { CheckInFigure, Job, Side } from '../schema.ts';
import { type EditResult, editFinished, sideEdited, sideUnknown } from './edit.ts';

/** Required fields of a new side; the rest starts empty, with one panel over the whole side. */
export type SideNew = Pick<Side, 'code' | 'name' | 'page' | 'artworkRect' | 'front'> &
  Partial<Omit<Side, 'id'>>;

export function sideAdd(job: Job, given: { readonly side: SideNew; readonly id?: string }): EditResult {
  const fresh = freshIds(job);
  const side: Side = {
    id: given.id ?? fresh('s'),
    bleed: edgeLengthsAll(jobAllowances(job).bleedMm),
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

/** Fields of a side to change. */
export type SideChange = Partial<Omit<Side, 'id' | 'layout'>>;

export const sideSet = (
  job: Job,
  { sideId, change }: { readonly sideId: string; readonly change: SideChange },
): EditResult => sideEdited(job, sideId, ({ side }) => resultOk({ ...side, ...change }));

/** Puts a photo under the artwork of a side, replacing an existing one, or removes it (`null`). */
export function sidePhotoSet(
  job: Job,
  { sideId, photo }: { readonly sideId: string; readonly photo: SidePhoto | null },
): EditResult {
  return sideEdited(job, sideId, ({ side }) => {
    const { photo: _, ...rest } = side;
    return resultOk(photo ? { ...rest, photo } : rest);
  });
}

/**
 * Stores the measured value of one dimension of the check-in sheet, or removes it (`null`). Width and height are stored
 * as the measured size of the side.
 */
export function sideCheckIn(
  job: Job,
  {
    sideId,
    figure: { dimensionId, from },
    measuredMm,
  }: {
    readonly sideId: string;
    readonly figure: Pick<CheckInFigure, 'dimensionId' | 'from'>;
    readonly measuredMm: Mm | null;
  },
): EditResult {
  return sideEdited(job, sideId, ({ side }) => {
    const { measured, checkIn = [], ...rest } = side;
    if (dimensionId === 'width' || dimensionId === 'height') {
      const key = dimensionId === 'width' ? 'widthMm' : 'heightMm';
      const { [key]: _, ...other } = measured ?? {};
      const size = measuredMm === null ? other : { ...other, [key]: measuredMm };
      const hasSize = Object.keys(size).length > 0;
      return resultOk({
        ...rest,
        ...(checkIn.length > 0 && { checkIn }),
        ...(hasSize && { measured: size }),
      });
    }
    const others = checkIn.filter((figure) => figure.dimensionId !== dimensionId);
    const figures = measuredMm === null ? others : [...others, { dimensionId, from, measuredMm }];
    return resultOk({
      ...rest,
      ...(measured && { measured }),
      ...(figures.length > 0 && { checkIn: figures }),
    });
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
