/** Returns a fraction from 0 (inclusive) to 1 (exclusive). */
export type RandomNumbers = () => number;

/**
 * Pseudo-random numbers that are the same on every machine for the same seed, so that the same panels always give the
 * same nesting. Marsaglia's 32-bit xorshift (Journal of Statistical Software 8/14, 2003).
 */
export function randomNumbersFromSeed(seed: number): RandomNumbers {
  let state = seed | 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

/** A whole number from 0 to `below` − 1. */
export const randomIndex = (random: RandomNumbers, below: number): number => Math.floor(random() * below);
