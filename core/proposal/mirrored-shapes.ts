/**
 * Finds lettering, as outlines or pixels, that one side shows mirrored. The letters are not read; their strokes are
 * compared.
 */
import type { ScannedShapes } from '../checks/scan/schema.ts';

/**
 * Fewer upright strokes match by chance. With outlined text, lines with at least this many matched their mirror image
 * in all strokes, and matched themselves reversed in less than nine of ten.
 */
const LEAST_STROKES = 10;
const ALIKE_SHARE = 0.95;
const UNLIKE_SHARE = 0.75;
/**
 * How far a stroke may be from its place, as a share of the line's length, because pages are scanned as coarse
 * pictures.
 */
const REACH_SHARE = 0.008;
/** How much two lines may differ in length ÷ height. */
const SHAPE_SLACK = 0.08;

/**
 * How many lines of `first` appear mirrored in `second`. Returns none if any line appears there unmirrored: artwork
 * laid out for both sides has mirrored pictures but readable lettering.
 */
export function mirroredLines(first: readonly ScannedShapes[], second: readonly ScannedShapes[]): number {
  const isLine = ({ isSure, strokes }: ScannedShapes) => isSure && strokes.length >= LEAST_STROKES;
  const others = second.filter(isLine);
  let mirrored = 0;
  for (const line of first.filter(isLine)) {
    const places = strokePlaces(line);
    const backward = places.map((at) => 1 - at);
    let isMirrored = false;
    for (const other of others.filter((candidate) => isOfShape(line, candidate))) {
      const there = strokePlaces(other);
      const [asIs, inMirror] = [sharedShare(places, there), sharedShare(backward, there)];
      if (asIs >= ALIKE_SHARE) return 0;
      if (inMirror >= ALIKE_SHARE && asIs <= UNLIKE_SHARE) isMirrored = true;
    }
    if (isMirrored) mirrored += 1;
  }
  return mirrored;
}

const isOfShape = (a: ScannedShapes, b: ScannedShapes): boolean =>
  Math.abs((a.area.width * b.area.height) / (a.area.height * b.area.width) - 1) <= SHAPE_SLACK;

/** Middles of the strokes along the line, from 0 to 1. */
const strokePlaces = ({ area, strokes }: ScannedShapes): readonly number[] =>
  strokes.map(({ x, width }) => (x + width / 2 - area.x) / area.width);

/** The share of strokes that are in both lines, of the line with fewer strokes. */
function sharedShare(a: readonly number[], b: readonly number[]): number {
  const share = (of: readonly number[], among: readonly number[]) =>
    of.filter((at) => among.some((other) => Math.abs(at - other) <= REACH_SHARE)).length / of.length;
  return Math.min(share(a, b), share(b, a));
}
