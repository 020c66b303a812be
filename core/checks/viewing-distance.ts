/**
 * How fine a picture must be for the distance from which it is seen.
 *
 * ```ts
 * ppiOfAcuity(1000).toFixed(1); // → '87.3'
 * viewingDistance({}); // → 3000
 * ```
 */
import type { Side } from '../job/schema.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';
import type { ArtworkLimits } from '../shop/artwork-limits.ts';

/** Viewing distance of a side without its own setting: across a sidewalk. Common practice, no source. */
export const DEFAULT_VIEWING_DISTANCE_MM: Mm = 3000;

export const viewingDistance = (side: Pick<Side, 'viewingDistanceMm'>): Mm =>
  side.viewingDistanceMm ?? DEFAULT_VIEWING_DISTANCE_MM;

const ARC_MINUTE = Math.PI / (180 * 60);

/**
 * Pixels per inch at which one pixel subtends one minute of arc: 87.32 ÷ distance in meters. An eye of visual acuity
 * grade 1 (ISO 8596) just resolves it, so coarser pixels are visible.
 *
 *     d (m)   0.5    1     2     3     5     10
 *     ppi    174.6  87.3  43.7  29.1  17.5  8.73
 */
export const ppiOfAcuity = (distance: Mm): number => MM_PER_INCH / (distance * Math.tan(ARC_MINUTE));

/**
 * Lowest acceptable resolution of an image at this distance: what the eye resolves, but never below the shop's limit.
 * Keeps AC1.
 */
export const ppiNeeded = (distance: Mm, limits: Pick<ArtworkLimits, 'minPpi'>): number =>
  Math.max(ppiOfAcuity(distance), limits.minPpi);

/** Resolution that the trade expects at this distance. */
/**
 * Resolution to request from a picture's author: what the trade expects at this distance, but never less than the eye
 * can see.
 */
export const ppiAsked = (distance: Mm, limits: Pick<ArtworkLimits, 'minPpi' | 'guidance'>): number =>
  Math.max(ppiNeeded(distance, limits), ppiOfGuidance(distance, limits));

export function ppiOfGuidance(distance: Mm, { guidance }: Pick<ArtworkLimits, 'guidance'>): number {
  const reached = guidance.filter(({ fromMm }) => fromMm <= distance);
  return reached.toSorted((a, b) => a.fromMm - b.fromMm).at(-1)?.ppi ?? 0;
}
