/**
 * Combines the results of two renderers and the structure of a panel. A difference that only one renderer shows is that
 * renderer's peculiarity, as long as the structure equals the artwork's in everything that was read.
 */
import type { PanelPictureResult } from './panel-picture.ts';
import { verificationFault } from './verification-fault.ts';
import type { VerificationFault } from './verification-report.ts';

/** The result of drawing a panel; undefined where it or the artwork could not be drawn. */
export type Look = PanelPictureResult | undefined;

export interface StructureWord {
  readonly hasFaults: boolean;
  /** Whether every object and sample was read and compared. */
  readonly isComplete: boolean;
}

/**
 * Every fifth panel is drawn by the second renderer without any doubt about it, so that one mistake cannot hide in all.
 */
const EACH = 5;

/**
 * Why the second renderer must draw a panel, the `index`-th of `count`, from 0: there is doubt, or it is one of every
 * five.
 */
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

/** A difference that only the second renderer shows where it does not decide: worth a look, but not a fault. */
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

/** The fault that the pictures show. `second` is also undefined where it was not drawn. */
export function pictureVerdict(
  first: Look,
  second: Look,
  { hasFaults, isComplete }: StructureWord,
): VerificationFault | undefined {
  if (first === undefined) return second?.fault;
  if (first.fault === undefined) return isComplete ? undefined : second?.fault;
  if (second === undefined) return isComplete && !hasFaults ? undefined : first.fault;
  // The second renderer places pictures to a fraction of a pixel; the first rounds them to whole pixels.
  return second.fault ?? (isComplete ? undefined : first.fault);
}
