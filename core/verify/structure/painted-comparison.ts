/**
 * Whether a panel paints what the artwork paints there, in the same order, color, overprint and transparency.
 * A picture shows no overprint and knows no inks, so this is read from the content itself.
 */
import { boxIntersection, type SourceBox } from '../../pdf/page/page-space.ts';
import type { PaintedObject, PaintedStyle } from './painted-objects.ts';

export type PaintedChange = 'color' | 'overprint' | 'transparency' | 'layer' | 'added' | 'lost';

export interface PaintedDifference {
  readonly change: PaintedChange;
  /** Where, in user space of the artwork's page. */
  readonly bounds: SourceBox;
  /** As the artwork has it and as the panel has it. */
  readonly expected: string;
  readonly found: string;
}

const MAX_DIFFERENCES = 12;
/** Objects at the edge of the window may be there or not. */
const WINDOW_MARGIN_UNITS = 3;

/** `window` is what the panel shows, in user space of the artwork's page. */
export function paintedDifferences(
  panel: readonly PaintedObject[],
  source: readonly PaintedObject[],
  window: SourceBox,
): PaintedDifference[] {
  const differences: PaintedDifference[] = [];
  const isFound = new Uint8Array(source.length);
  const inner = boxShrunk(window, WINDOW_MARGIN_UNITS);
  let next = 0;
  for (const object of panel) {
    if (differences.length >= MAX_DIFFERENCES) return differences;
    const same = indexFrom(
      source,
      next,
      (original) => isSamePlace(object, original) && isSameStyle(original.style, object.style),
    );
    if (same >= 0) {
      isFound[same] = 1;
      next = same + 1;
      continue;
    }
    const changed = indexFrom(source, next, (original) => isSamePlace(object, original));
    if (changed < 0) {
      if (isWithin(object, inner)) differences.push(difference('added', object, '', object.kind));
      continue;
    }
    isFound[changed] = 1;
    next = changed + 1;
    differences.push(...styleDifferences(source[changed]!, object));
  }
  for (const [index, original] of source.entries()) {
    if (isFound[index] || !original.style.isVisible || !isWithin(original, inner)) continue;
    if (differences.length >= MAX_DIFFERENCES) break;
    differences.push(difference('lost', original, original.kind, ''));
  }
  return differences;
}

function indexFrom(
  list: readonly PaintedObject[],
  from: number,
  isIt: (object: PaintedObject) => boolean,
): number {
  for (let i = from; i < list.length; i++) if (isIt(list[i]!)) return i;
  return -1;
}

const isSameStyle = (a: PaintedStyle, b: PaintedStyle): boolean =>
  a.color === b.color &&
  a.overprint === b.overprint &&
  a.transparency === b.transparency &&
  a.isVisible === b.isVisible;

function styleDifferences(original: PaintedObject, object: PaintedObject): PaintedDifference[] {
  const [a, b] = [original.style, object.style];
  const differences: PaintedDifference[] = [];
  if (a.color !== b.color) differences.push(difference('color', original, a.color, b.color));
  if (a.overprint !== b.overprint)
    differences.push(difference('overprint', original, a.overprint, b.overprint));
  if (a.transparency !== b.transparency)
    differences.push(difference('transparency', original, a.transparency, b.transparency));
  if (a.isVisible !== b.isVisible)
    differences.push(difference('layer', original, shownText(a.isVisible), shownText(b.isVisible)));
  return differences;
}

const shownText = (isVisible: boolean): string => (isVisible ? 'shown' : 'hidden');

const difference = (
  change: PaintedChange,
  { bounds }: PaintedObject,
  expected: string,
  found: string,
): PaintedDifference => ({ change, bounds, expected, found });

/** Whose place depends on the clip, or may be cropped: theirs lies within the original's. */
const WITHIN_ORIGINAL: ReadonlySet<string> = new Set(['image', 'shading', 'form']);

function isSamePlace(object: PaintedObject, original: PaintedObject): boolean {
  if (object.kind !== original.kind) return false;
  const [a, b] = [object.bounds, original.bounds];
  const slack = 1e-3 + 1e-6 * Math.max(Math.abs(b.x0), Math.abs(b.x1), Math.abs(b.y0), Math.abs(b.y1));
  if (WITHIN_ORIGINAL.has(object.kind)) {
    return a.x0 >= b.x0 - slack && a.y0 >= b.y0 - slack && a.x1 <= b.x1 + slack && a.y1 <= b.y1 + slack;
  }
  return (
    Math.abs(a.x0 - b.x0) <= slack &&
    Math.abs(a.y0 - b.y0) <= slack &&
    Math.abs(a.x1 - b.x1) <= slack &&
    Math.abs(a.y1 - b.y1) <= slack
  );
}

const isWithin = ({ shown }: PaintedObject, window: SourceBox): boolean =>
  shown !== undefined && boxIntersection(shown, window) !== undefined;

const boxShrunk = ({ x0, y0, x1, y1 }: SourceBox, by: number): SourceBox => ({
  x0: x0 + by,
  y0: y0 + by,
  x1: x1 - by,
  y1: y1 - by,
});
