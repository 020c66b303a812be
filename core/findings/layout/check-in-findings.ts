/** Compares the measured vehicle with the drawing that the layout was made on. */

import {
  type CheckInDimension,
  checkInDimensions,
  checkInError,
  checkInName,
} from '../../layout/check-in.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import type { SideContext } from './finding-context.ts';

export const CHECK_IN_OFF = 'check-in-off';

/** `isSizeOff`: width and height already have a separate finding. Keeps CK2. */
export const checkInFindings = (context: SideContext, isSizeOff: boolean): Finding[] =>
  checkInDimensions(context.layout)
    .filter(({ id }) => !isSizeOff || (id !== 'width' && id !== 'height'))
    .flatMap((dimension) => checkInFinding(context, dimension) ?? []);

function checkInFinding({ side, length }: SideContext, dimension: CheckInDimension): Finding | undefined {
  const error = checkInError(dimension);
  const { id, measuredMm, drawnMm, toleranceMm } = dimension;
  if (error === undefined || measuredMm === undefined) return undefined;
  return withFigure(
    error,
    finding(
      CHECK_IN_OFF,
      'warn',
      { sideId: side.id, itemId: id },
      `${checkInName({ side }, dimension)} of side ${side.code}: the tape shows ${length(measuredMm)}, the drawing has ${length(drawnMm)}; ${length(Math.abs(error))} ${error > 0 ? 'more' : 'less'}, and ${length(toleranceMm)} is the tolerance.`,
      'Measure again; if the tape is right, correct the drawing and the layout, or acknowledge the difference by name.',
    ),
  );
}
