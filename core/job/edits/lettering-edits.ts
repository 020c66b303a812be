/** Lettering marked as decoration: a seam through it gives no warning until the mark is removed. */
import { resultOk } from '../../measure/result.ts';
import type { Job, StoredRect } from '../schema.ts';
import { type EditResult, sideEdited } from './edit.ts';

interface LetteringOfSide {
  readonly sideId: string;
  /** Place on the page, in drawn mm. */
  readonly drawn: StoredRect;
}

export const letteringIgnore = (job: Job, { sideId, drawn }: LetteringOfSide): EditResult =>
  sideEdited(job, sideId, ({ side }) =>
    resultOk({ ...side, ignoredLettering: [...(side.ignoredLettering ?? []), drawn] }),
  );

/** Removes all marks that touch this place. */
export const letteringHeed = (job: Job, { sideId, drawn }: LetteringOfSide): EditResult =>
  sideEdited(job, sideId, ({ side: { ignoredLettering = [], ...side } }) => {
    const rest = ignoredLettering.filter((other) => !isTouching(other, drawn));
    return resultOk({ ...side, ...(rest.length > 0 && { ignoredLettering: rest }) });
  });

const isTouching = (a: StoredRect, b: StoredRect): boolean =>
  a.xMm < b.xMm + b.widthMm &&
  b.xMm < a.xMm + a.widthMm &&
  a.yMm < b.yMm + b.heightMm &&
  b.yMm < a.yMm + a.heightMm;
