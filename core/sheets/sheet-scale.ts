import { lastOf } from '../measure/present.ts';

/**
 * Reduction scales of ISO 5455: 1:2, 1:5, 1:10 and their multiples by ten. Full size comes first, for the
 * rare side that fits on a sheet as it is.
 */
export const REDUCTION_SCALES = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000] as const;

/** The first scale for which `fits` holds, or else the smallest. */
export const largestScale = (fits: (oneTo: number) => boolean): number =>
  REDUCTION_SCALES.find(fits) ?? lastOf(REDUCTION_SCALES);

/** As ISO 5455 writes it on the sheet. */
export const scaleDesignation = (oneTo: number): string => `SCALE 1:${oneTo}`;
