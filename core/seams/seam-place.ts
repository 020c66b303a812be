import { z } from 'zod';
import { mmSchema } from '../measure/schemas.ts';

/** Which way a seam runs: a vertical one stands at an x, a horizontal one lies at a y. */
export const SeamAxis = z.enum(['vertical', 'horizontal']);
export type SeamAxis = z.infer<typeof SeamAxis>;
export const SEAM_AXES = SeamAxis.options;

/** A straight seam: at `at`, from `from` to `to` along itself. */
export const SeamPlace = z.strictObject({ axis: SeamAxis, at: mmSchema, from: mmSchema, to: mmSchema });
export type SeamPlace = z.infer<typeof SeamPlace>;
