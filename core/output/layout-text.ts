import type { OutputSize } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/** Far finer than any cut, but coarser than rounding errors. */
const STEPS_PER_MM = 10_000;

/**
 * A text that is equal for all outputs of one layout, for hashing: the same panels, visible and printed areas, in files
 * of the same size. Panels of different layouts do not fit each other on a vehicle, so they are never in one folder for
 * production.
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
