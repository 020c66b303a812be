/** The three figures of an overlap seam: printed overlap = finished overlap + trim-off. */
import type { Mm } from '../measure/units.ts';
import type { Joint } from './schema.ts';

type Lap = Pick<Joint, 'top' | 'firstMm' | 'secondMm'>;

/** How far the two panels cover each other once the upper one is trimmed on the seam line: what extends under it. */
export const finishedOverlap = ({ top, firstMm, secondMm }: Lap): Mm =>
  top === 'first' ? secondMm : firstMm;

/** What the trim on the seam line cuts off the upper panel. */
export const trimOff = ({ top, firstMm, secondMm }: Lap): Mm => (top === 'first' ? firstMm : secondMm);
