/**
 * What two renderers and the structure of a panel say together. A difference that one renderer shows and the other does
 * not is that renderer's oddity, as long as the structure is the artwork's in everything that was read.
 */
import type { PanelPictureResult } from './panel-picture.ts';
import { verificationFault } from './verification-fault.ts';
import type { VerificationFault } from './verification-report.ts';

/** One look at a panel; undefined where it or the artwork could not be drawn. */
export type Look = PanelPictureResult | undefined;

export interface StructureWord {
  readonly hasFaults: boolean;
  /** Whether every object and sample was read and compared. */
  readonly isComplete: boolean;
}

/** Every so many panels are drawn by the second renderer without any doubt, so that one mistake cannot hide in all. */
const EACH = 5;

/** Why the second renderer is to draw a panel, the `index`-th of `count`, from 0: there is doubt, or it is one of every five. */
export function secondLookReason(
  first: Look,
  { hasFaults, isComplete }: StructureWord,
  index: number,
  count: number,
): 'doubt' | 'sample' | undefined {
  if (first === undefined || first.fault !== undefined) return 'doubt';
  if (hasFaults) return undefined;
  if (!isComplete) return 'doubt';
  return index % EACH === EACH - 1 || (count < EACH && index === count - 1) ? 'sample' : undefined;
}

/** What the second renderer shows alone where it does not decide: worth a look, but no fault. */
export function pictureNote(
  first: Look,
  second: Look,
  { isComplete }: StructureWord,
): VerificationFault | undefined {
  const fault = isComplete && first && !first.fault ? second?.fault : undefined;
  if (!fault) return undefined;
  const text = `${fault.message} Only the second renderer shows this: the first draws both alike, and the file holds the objects and samples of the artwork.`;
  return { ...fault, ...verificationFault('drawn-otherwise', { panels: fault.panels }, text) };
}

/** The fault that pictures show; `second` is also undefined where it was not drawn. */
export function pictureVerdict(
  first: Look,
  second: Look,
  { hasFaults, isComplete }: StructureWord,
): VerificationFault | undefined {
  if (first === undefined) return second?.fault;
  if (first.fault === undefined) return isComplete ? undefined : second?.fault;
  if (second === undefined) return isComplete && !hasFaults ? undefined : first.fault;
  // The second draws pictures where they lie, to a part of a pixel; the first rounds them to whole ones.
  return second.fault ?? (isComplete ? undefined : first.fault);
}
