/** Panels that are missing, or too many, where a vehicle is installed. */
import type { Job } from '../../job/schema.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { unitArrivals } from '../../layout/unit-arrivals.ts';
import { type Finding, finding } from '../finding.ts';

/** Keeps FLT6. */
export const arrivalFindings = (job: Job, layouts: readonly SideLayout[]): Finding[] =>
  unitArrivals(job, layouts).flatMap(({ unitNumber, panels, panelsArrived }) =>
    panelsArrived === undefined || panelsArrived === panels
      ? []
      : [
          finding(
            'panels-arrived',
            'note',
            { itemId: unitNumber },
            `${panelsArrived} of the ${panels} panels of ${unitNumber} arrived.`,
            panelsArrived < panels
              ? 'Look in the boxes of the other vehicles, then print what is missing again for this one.'
              : 'Look which panel belongs to another vehicle, and count again.',
          ),
        ],
  );
