/**
 * Remaining work of a search, counted in its steps instead of time, so that the result does not depend on the speed of
 * the machine.
 */
export interface Effort {
  left: number;
}
