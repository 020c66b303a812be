import { DEFAULT_OUTPUT } from '../../core/job/defaults.ts';
import type { Job } from '../../core/job/schema.ts';
import { METRIC_ALLOWANCES } from '../../core/shop/allowances.ts';
import { LEFT_RIGHT_SIDES } from '../../core/shop/side-names.ts';

/** The job as a metric shop has it: millimeters, left and right side, A3, day before month, euros. */
export function metricJob(job: Job): Job {
  const { sheets: _, ...rest } = job;
  const named = { left: LEFT_RIGHT_SIDES.vehicle.left, right: LEFT_RIGHT_SIDES.vehicle.right };
  return {
    ...rest,
    displayUnit: 'mm',
    dateOrder: 'day-first',
    sideNames: LEFT_RIGHT_SIDES,
    allowances: METRIC_ALLOWANCES,
    output: { ...job.output, borderMm: DEFAULT_OUTPUT.borderMm, mapSheet: 'A3' },
    sides: job.sides.map((side) => (side.front === 'none' ? side : { ...side, ...named[side.front] })),
    ...(job.production && {
      production: { ...job.production, figures: { ...job.production.figures, currency: 'EUR' } },
    }),
  };
}
