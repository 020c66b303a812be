/**
 * Numbers as written into a panel. Readers hold them in single precision, so ten decimals lose nothing, and rounding
 * turns 0.30000000000000004 into 0.3.
 */
const DECIMALS = 1e10;

export function numberRounded(value: number): number {
  const rounded = Math.round(value * DECIMALS) / DECIMALS;
  // Never -0, which some writers would write as `-0`.
  return rounded === 0 ? 0 : rounded;
}
