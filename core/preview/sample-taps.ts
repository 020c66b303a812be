/**
 * Which source pixels each pixel of a smaller image averages. The images cover the same unit square, so the places
 * follow the ratio of their sizes, whole or not, and nothing shifts.
 *
 *     10 pixels for 4, two taps each  →  0 1 | 3 4 | 5 6 | 8 9
 */
export interface Taps {
  /** Pixels of the source, `taps` for each pixel of the result, in rising order. */
  readonly places: Int32Array;
  readonly taps: number;
}

/**
 * `extent` is the visible size in pixels of the source, `available` the number of its pixels including padding. No
 * pixel of the result uses more than `maxTaps`.
 */
export function sampleTaps(extent: number, available: number, size: number, maxTaps: number): Taps {
  const taps = Math.max(1, Math.min(maxTaps, Math.floor(extent / size)));
  const places = new Int32Array(size * taps);
  for (let i = 0; i < places.length; i++) {
    places[i] = Math.min(available - 1, Math.floor(((i + 0.5) * extent) / places.length));
  }
  return { places, taps };
}
