/**
 * What is left of a search's work, in steps of its own kind. Counted instead of timed, so that the result does
 * not depend on how fast the machine is.
 */
export interface Effort {
  left: number;
}
