import type { Mm } from '../measure/units.ts';

/** Which way a seam runs: a vertical one stands at an x, a horizontal one lies at a y. */
export type SeamAxis = 'horizontal' | 'vertical';
export const SEAM_AXES: readonly SeamAxis[] = ['vertical', 'horizontal'];

/** A straight seam: at `at`, from `from` to `to` along itself. */
export interface SeamPlace {
  readonly axis: SeamAxis;
  readonly at: Mm;
  readonly from: Mm;
  readonly to: Mm;
}
