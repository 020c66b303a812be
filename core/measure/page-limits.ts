import { MM_PER_PT } from './units.ts';

/** ISO 32000-1, Annex C.2: a page side should be 3 to 14,400 default units of 1/72 in; many RIPs refuse more. */
export const MAX_PAGE_UNITS = 14_400;
export const MIN_PAGE_UNITS = 3;
/** The longest page without larger units: 5,080 mm. */
export const MAX_PAGE_MM = MAX_PAGE_UNITS * MM_PER_PT;
