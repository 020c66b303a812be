import type { Door, Side } from '../job/schema.ts';
import type { Edge } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { endName } from './seam-datums.ts';

/** `hinged at the front edge`, `slides to the rear by 950 mm, over the body` */
export function doorMotionText(
  { motion }: Pick<Door, 'motion'>,
  side: Pick<Side, 'front'>,
  length: (mm: Mm) => string,
): string {
  if (motion.kind === 'hinged') return `hinged at the ${endName(motion.at, side)} edge`;
  const { toward, byMm, passes } = motion;
  return `slides ${wayText(toward, side)} by ${length(byMm)}, ${passes} the body`;
}

/** `up`, `to the rear` */
const wayText = (edge: Edge, side: Pick<Side, 'front'>): string =>
  edge === 'top' ? 'up' : edge === 'bottom' ? 'down' : `to the ${endName(edge, side)}`;
