import type { OutputSize } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/** Far finer than anything is cut, and coarser than what is left of a length after it was worked out another way. */
const STEPS_PER_MM = 10_000;

/**
 * What makes outputs those of one layout, as text to be hashed: the same panels, seen and printed alike, in files of the
 * same size. Panels of two layouts do not fit each other on a vehicle, so they never lie in one folder to print from.
 */
export const layoutText = (layouts: readonly SideLayout[], size: OutputSize): string =>
  JSON.stringify([
    size,
    layouts.map(({ side, panels }) => [
      side.code,
      panels
        .filter(({ patch }) => !patch)
        .map(({ label, net, printed, shape }) => [
          label,
          rectSteps(net),
          rectSteps(printed),
          ...(shape ? [shape.finished.points.flatMap(({ x, y }) => [x, y]).map(steps)] : []),
        ]),
    ]),
  ]);

const rectSteps = ({ x, y, width, height }: Rect): number[] => [x, y, width, height].map(steps);

const steps = (mm: Mm): number => Math.round(mm * STEPS_PER_MM);
