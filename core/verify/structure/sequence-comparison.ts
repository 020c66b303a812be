/**
 * Checks that a panel paints what the artwork paints, in the same order, with every object that shows on the panel. A
 * panel may leave out only objects outside its window.
 */
import { matrixInverse, matrixProduct, type SourceBox } from '../../pdf/page/page-space.ts';
import type { PaintedImage, PaintedSequence } from './painted-sequence.ts';

/** Indexes of a differing object in the two sequences. */
export interface SequenceDifference {
  /** Absent: the panel does not have it. */
  readonly inPanel?: number;
  /** Absent: the artwork does not have it. */
  readonly inSource?: number;
}

export interface SequenceComparison {
  readonly differences: readonly SequenceDifference[];
  /** Images of the panel with their originals. */
  readonly images: readonly (readonly [panel: PaintedImage, source: PaintedImage])[];
}

const MAX_DIFFERENCES = 12;
/** Objects at the edge of the window may be present or not. */
const WINDOW_MARGIN_UNITS = 3;

/** `window` is what the panel shows, in user space of the artwork's page. */
export function sequencesCompared(
  panel: PaintedSequence,
  source: PaintedSequence,
  window: SourceBox,
): SequenceComparison {
  const differences: SequenceDifference[] = [];
  const images: (readonly [PaintedImage, PaintedImage])[] = [];
  const inner = {
    x0: window.x0 + WINDOW_MARGIN_UNITS,
    y0: window.y0 + WINDOW_MARGIN_UNITS,
    x1: window.x1 - WINDOW_MARGIN_UNITS,
    y1: window.y1 - WINDOW_MARGIN_UNITS,
  };
  let next = 0;
  const passOver = (end: number): void => {
    for (; next < end && differences.length < MAX_DIFFERENCES; next++) {
      if (source.isWithin(next, inner)) differences.push({ inSource: next });
    }
    next = end;
  };
  for (let index = 0; index < panel.count && differences.length < MAX_DIFFERENCES; index++) {
    const ours = panel.images.get(index);
    const same = indexFrom(
      next,
      source.count,
      (at) => source.print(at) === panel.print(index) && isPartOf(ours, source.images.get(at)),
    );
    if (same !== undefined) {
      passOver(same);
      next = same + 1;
      const theirs = source.images.get(same);
      if (ours && theirs) images.push([ours, theirs]);
      continue;
    }
    const changed = indexFrom(next, source.count, (at) => source.shape(at) === panel.shape(index));
    if (changed === undefined) {
      differences.push({ inPanel: index });
      continue;
    }
    differences.push({ inPanel: index, inSource: changed });
    next = changed + 1;
  }
  passOver(source.count);
  return { differences, images };
}

/** Tolerance for points of a picture, as a share of its edge. */
const EDGE = 1e-4;

/** Whether an image covers another one's place, wholly or in part. */
function isPartOf(part: PaintedImage | undefined, whole: PaintedImage | undefined): boolean {
  if (!part || !whole) return part === whole;
  const inverse = matrixInverse(whole.ctm);
  if (!inverse) return part.ctm.every((value, i) => value === whole.ctm[i]);
  const [a, b, c, d, e, f] = matrixProduct(part.ctm, inverse);
  const isWithin = (from: number, length: number) => from > -EDGE && length > 0 && from + length < 1 + EDGE;
  return Math.max(Math.abs(b), Math.abs(c)) < EDGE && isWithin(e, a) && isWithin(f, d);
}

function indexFrom(from: number, end: number, isIt: (index: number) => boolean): number | undefined {
  for (let index = from; index < end; index++) if (isIt(index)) return index;
  return undefined;
}
