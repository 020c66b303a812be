import { JOB_SCHEMA, JOB_VERSION, type Job, type Output, type Printer, type ShopLimits } from './schema.ts';
import { jobStart, type ShopProfile } from './shop-profile.ts';

/**
 * Starting values of a new job. Common practice, no source; every value can be changed, and the data sheet of the film
 * in use takes precedence.
 */
export const DEFAULT_PRINTER: Printer = {
  name: 'Printer 1',
  rollWidthMm: 1524,
  rollLengthMm: 45_720,
  marginLeftMm: 10,
  marginRightMm: 10,
  longestPrintMm: 30_000,
  feedErrorPercent: 0,
};

export const DEFAULT_OUTPUT: Output = {
  size: { kind: 'true-size' },
  borderMm: 30,
  marks: true,
  numbering: 'install-order',
  mapSheet: 'A3',
};

/**
 * 12 mm is a little under the half inch that the trade calls the narrowest safe lap. Panels over 6 m along a side take
 * three people; film lifts within half an inch of a rivet's head, and heads are about half an inch across.
 */
export const DEFAULT_LIMITS: ShopLimits = {
  minOverlapMm: 12,
  minPanelMm: 150,
  longestPanelMm: 6000,
  rivetClearanceMm: 12.7,
  rivetHeadMm: 12.7,
  maxProportionErrorPercent: 0.5,
};

/** For seams with shape, where the shop sets no limits. Common practice, no source. */
export const DEFAULT_SHAPE_LIMITS = { mostRiseMm: 150, leastCornerRadiusMm: 5 } as const;

/** A job without artwork or sides. It begins with the shop's values, if there are any. */
export function jobEmpty(
  given: Pick<Job, 'id' | 'number' | 'name' | 'customer' | 'date'>,
  shop?: ShopProfile,
): Job {
  return {
    format: 'panelwright-job',
    version: JOB_VERSION,
    schema: JOB_SCHEMA,
    ...given,
    vehicles: [{ id: 'v1', kind: 'van', units: [{ unitNumber: given.name, licensePlate: '' }] }],
    preparedBy: '',
    notes: '',
    displayUnit: 'mm',
    scale: 10,
    sides: [],
    film: { name: 'Cast print film', kind: 'cast', finish: '', lotNumber: '' },
    printer: DEFAULT_PRINTER,
    output: DEFAULT_OUTPUT,
    limits: DEFAULT_LIMITS,
    acknowledgements: [],
    ...(shop && jobStart(shop)),
  };
}
