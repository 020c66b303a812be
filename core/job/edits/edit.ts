/** Shared by all edits: finding their side, and checking that the edited job is sound. */
import type { Rect } from '../../measure/rect.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { type FreshId, freshIds, jobWithIdsGiven } from '../fresh-id.ts';
import { type JobProblemCode, jobChecked } from '../job-json.ts';
import type { Job, Side } from '../schema.ts';
import { sideOutline } from '../side-outline.ts';

export type EditProblemCode =
  | JobProblemCode
  | 'side-unknown'
  | 'panel-unknown'
  | 'film-unknown'
  | 'films-too-many'
  | 'seam-unknown'
  | 'item-unknown'
  | 'artwork-none'
  | 'finding-unknown'
  | 'parts-unlike'
  | 'mirror-onto-itself'
  | 'points-together'
  | 'line-too-short'
  | 'area-corners'
  | 'area-open'
  | 'line-unfit'
  | 'seam-shaped'
  | 'repeat-impossible'
  | 'unit-unknown'
  | 'vehicle-unknown'
  | 'vehicle-has-sides'
  | 'vehicle-last'
  | 'window-kind';

export type EditProblem = Problem<EditProblemCode>;
/** A new job, or why the edit cannot be made. The job given is never changed. */
export type EditResult = Result<Job, EditProblem>;

export const editProblem = (code: EditProblemCode, message: string, remedy: string) =>
  resultProblem<EditProblem>({ code, message, remedy });

/**
 * Ends an edit: the edited job if it is sound, else the reason. Unchanged parts keep their identity, so that histories
 * share them.
 */
export function editFinished(before: Job, after: Job): EditResult {
  const edited = jobWithIdsGiven(before, after);
  const checked = jobChecked(edited);
  return checked.ok ? resultOk(edited) : checked;
}

/** A side under edit, with its outline and a source of new ids. */
export interface SideInHand {
  readonly side: Side;
  readonly outline: Rect<'finished'>;
  readonly fresh: FreshId;
}

/** Edits one side; `edit` returns the changed side, or why it cannot be changed. */
export function sideEdited(
  job: Job,
  sideId: string,
  edit: (inHand: SideInHand) => Result<Side, EditProblem>,
): EditResult {
  const side = job.sides.find(({ id }) => id === sideId);
  if (!side) return sideUnknown(sideId);
  const edited = edit({ side, outline: sideOutline(side, job.scale), fresh: freshIds(job) });
  if (!edited.ok) return edited;
  return editFinished(job, jobWithSide(job, edited.value));
}

export const jobWithSide = (job: Job, side: Side): Job => ({
  ...job,
  sides: job.sides.map((other) => (other.id === side.id ? side : other)),
});

export const sideUnknown = (sideId: string) =>
  editProblem('side-unknown', `The job has no side “${sideId}”.`, 'Select a side of this job.');

export const panelUnknown = (side: Side, panelId: string) =>
  editProblem(
    'panel-unknown',
    `Side ${side.code} has no panel “${panelId}”.`,
    'Select a panel of this side.',
  );

export const seamUnknown = (side: Side, seamId: string) =>
  editProblem('seam-unknown', `Side ${side.code} has no seam “${seamId}”.`, 'Select a seam of this side.');

export const lineUnknown = (side: Side, itemId: string) =>
  editProblem(
    'item-unknown',
    `Side ${side.code} has no body line “${itemId}”.`,
    'Select a body line of this side.',
  );
