/** The three figures of an overlap seam: printed overlap = finished overlap + trim-off. */
import type { Mm } from '../measure/units.ts';
import type { Joint } from './schema.ts';

type Lap = Pick<Joint, 'top' | 'firstMm' | 'secondMm'>;

/** Finished overlap: how far the lower panel extends under the upper one after trimming on the seam line. */
export const finishedOverlap = ({ top, firstMm, secondMm }: Lap): Mm =>
  top === 'first' ? secondMm : firstMm;

/** Trim-off: what the trim on the seam line removes from the upper panel. */
export const trimOff = ({ top, firstMm, secondMm }: Lap): Mm => (top === 'first' ? firstMm : secondMm);
