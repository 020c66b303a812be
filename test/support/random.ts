/**
 * A seeded source of numbers, so that the artwork has the same bytes on every run.
 * Returns values from 0 up to, but not including, 1. The mixing step is xorshift32 (Marsaglia, 2003).
 */
export function randomFrom(seed: number): () => number {
  let state = seed | 0 || 1;
  const next = (): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 4294967296;
  };
  // The first values of nearby seeds resemble each other.
  for (let i = 0; i < 12; i += 1) next();
  return next;
}

/** Smooth noise along a line: values 0…1 at whole positions, eased between. */
export function noiseLine(seed: number): (at: number) => number {
  const random = randomFrom(seed);
  const knots = Float64Array.from({ length: 1024 }, () => random());
  return (at) => {
    const whole = Math.floor(at);
    const t = at - whole;
    const eased = t * t * (3 - 2 * t);
    const a = knots[whole & 1023] ?? 0;
    const b = knots[(whole + 1) & 1023] ?? 0;
    return a + (b - a) * eased;
  };
}

/** Several octaves of `noiseLine`, each half as strong and twice as fine; 0…1. */
export function ridgeLine(seed: number, octaves: number): (at: number) => number {
  const lines = Array.from({ length: octaves }, (_, i) => noiseLine(seed * 31 + i * 7 + 1));
  const total = 2 - 2 ** (1 - octaves);
  return (at) => lines.reduce((sum, line, i) => sum + line(at * 2 ** i) / 2 ** i, 0) / total;
}
