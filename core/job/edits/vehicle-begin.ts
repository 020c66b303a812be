/**
 * A job that begins with its vehicle, before there is artwork: sides of typed sizes, with the items of their saved
 * layouts. These sides are not on a page; see core/proposal/artwork-on-sides.ts for the artwork that comes later.
 */
import { type Problem, type Result, resultOk, resultProblem } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import type { Job } from '../schema.ts';
import { drawnRectOfSize } from '../side-outline.ts';
import { storedFromRect } from '../stored-rect.ts';
import { applySavedLayout, type SavedLayout } from './saved-layout.ts';
import { sideAdd } from './side-edits.ts';
import { sideOfRole, type UsualSide } from './side-suggested.ts';

export interface SideToBegin {
  readonly role: UsualSide;
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  /** Its lines, doors and areas, without those outside the side. */
  readonly savedLayout?: SavedLayout;
}

/** Adds sides of these finished sizes, one panel each, to a job whose scale does not matter yet. */
export function jobWithVehicle(job: Job, sides: readonly SideToBegin[]): Result<Job, Problem> {
  if (sides.length === 0) {
    return resultProblem({
      code: 'side-none',
      message: 'No side has a size yet.',
      remedy: 'Enter the width and the height of at least one side.',
    });
  }
  // At 1:1 a typed size is stored exactly.
  const begun = job.artwork || job.sides.length > 0 ? job : { ...job, scale: 1 };
  return sides.reduce<Result<Job, Problem>>((edited, { role, widthMm, heightMm, savedLayout }) => {
    if (!edited.ok) return edited;
    const { scale } = edited.value;
    const artworkRect = storedFromRect(drawnRectOfSize({ width: widthMm, height: heightMm }, scale));
    const added = sideAdd(edited.value, { side: { ...sideOfRole(edited.value, role), artworkRect } });
    const side = added.ok ? added.value.sides.at(-1) : undefined;
    if (!added.ok || !side || !savedLayout) return added;
    return applySavedLayout(added.value, side.id, savedLayout);
  }, resultOk(begun));
}
