import { itemAt } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { panelPrice, panelPriceAt } from './film-fit.ts';
import { FilmRates, filmAt, rollOf } from './film-zones.ts';
import type { PlanWeights } from './plan-objective.ts';
import type { PlanSide, PlanStock } from './plan-side.ts';
import {
  frameAlong,
  frameNet,
  isFrameOpen,
  type PlanFrame,
  type PlanJoint,
  type PlanSplit,
  type PlanTree,
  pairFrame,
  partFrame,
  sideFrame,
} from './plan-tree.ts';
import type { SeamAxis } from './seam-place.ts';
import type { SliceBooks } from './section-ground.ts';
import { linesWithOwnJoint, sectionLines } from './section-lines.ts';
import { firstAbove } from './sequence-search.ts';
import type { SliceBook } from './slice-costs.ts';

/** Enough passes for a sequence of forty seams to settle; each pass halves the remaining unevenness. */
const MOST_PASSES = 60;
/** Far below the smallest step of an objective, above the rounding error of a sum in another order. */
const SAME_UNITS = 1e-3;

/**
 * Breaks ties: where seams may move at no cost (flat color, no line, no lettering) they are spread evenly, as an
 * operator would. Each seam in turn moves as near to the middle of its neighbors as possible without raising the
 * objective, until none moves. The result costs the same as the given plan.
 */
export function planEvened(
  tree: PlanTree,
  side: PlanSide,
  stock: PlanStock,
  weights: PlanWeights,
  books: SliceBooks,
): PlanTree {
  const rates = new FilmRates(side, stock, weights);
  const fixed: Record<SeamAxis, Mm[]> = {
    vertical: fixedPlaces(side, stock, 'vertical'),
    horizontal: fixedPlaces(side, stock, 'horizontal'),
  };

  const evened = (node: PlanTree, frame: PlanFrame): PlanTree => {
    if (node.kind === 'panel') return node;
    const isFree = ({ at, path }: PlanJoint, index: number) =>
      !path &&
      itemAt(node.parts, index).kind === 'panel' &&
      itemAt(node.parts, index + 1).kind === 'panel' &&
      ![index, index + 1].some((part) => isFrameOpen(side, partFrame(node, frame, part))) &&
      !fixed[node.axis].some((line) => Math.abs(line - at) <= LENGTH_TOLERANCE_MM);
    const free = node.joints.flatMap((joint, index) => (isFree(joint, index) ? [index] : []));
    const sequence = { ...node, joints: sequenceEvened(node, free, frame) };
    return {
      ...sequence,
      parts: sequence.parts.map((part, index) => evened(part, partFrame(sequence, frame, index))),
    };
  };

  const sequenceEvened = (
    node: PlanSplit,
    free: readonly number[],
    frame: PlanFrame,
  ): readonly PlanJoint[] => {
    if (free.length === 0) return node.joints;
    const { axis } = node;
    const move = seamMover(side, stock, rates, axis, { book: books[axis], weights });
    const joints = [...node.joints];
    for (let pass = 0; pass < MOST_PASSES; pass++) {
      let hasMoved = false;
      for (const index of free) {
        const joint = itemAt(joints, index);
        const at = move(joint, pairFrame({ ...node, joints }, frame, index));
        if (at === joint.at) continue;
        joints[index] = { ...joint, at };
        hasMoved = true;
      }
      if (!hasMoved) break;
    }
    return joints;
  };

  return evened(tree, sideFrame(side));
}

const fixedPlaces = (side: PlanSide, stock: PlanStock, axis: SeamAxis): Mm[] =>
  linesWithOwnJoint(sectionLines(side, stock, axis)).flatMap(({ at, path }) => (path ? [] : [at]));

/** `pair` is the frame of the two parts beside the seam as one. */
type SeamMover = (joint: PlanJoint, pair: PlanFrame) => Mm;

/** Finds the place nearest the middle of a seam's neighbors that costs no more than the present place. */
function seamMover(
  side: PlanSide,
  stock: PlanStock,
  rates: FilmRates,
  axis: SeamAxis,
  { book, weights }: { readonly book: SliceBook; readonly weights: PlanWeights },
): SeamMover {
  const { positions } = book;
  const known = new Map<string, Float64Array>();
  const unitsBetween = (from: Mm, to: Mm): Float64Array => {
    const key = `${from} ${to}`;
    const units = known.get(key) ?? book.strip(from, to).units(weights);
    known.set(key, units);
    return units;
  };

  return (joint, pair) => {
    const { start: low, end: high, ...sequence } = frameAlong(pair, axis);
    const film = filmAt(side, frameNet(pair));
    const acrossFilm = sequence.acrossPrinted + 2 * side.border;
    const price = panelPrice(side, rollOf(stock, film), axis, acrossFilm, rates.on(film));
    if (price.length === 0) return joint.at;
    const seamUnits = unitsBetween(sequence.from, sequence.to);
    const reachLow = sequence.startReach + joint.first + 2 * side.border;
    const reachHigh = joint.second + sequence.endReach + 2 * side.border;
    const unitsAt = (index: number): number => {
      const at = itemAt(positions, index);
      if (Math.min(at - low, high - at) < side.minPanel - LENGTH_TOLERANCE_MM)
        return Number.POSITIVE_INFINITY;
      return (
        itemAt(seamUnits, index) +
        panelPriceAt(price, at - low + reachLow) +
        panelPriceAt(price, high - at + reachHigh)
      );
    };
    const now = firstAbove(positions, joint.at - LENGTH_TOLERANCE_MM);
    const middle = firstAbove(positions, Math.round((low + high) / 2) - 0.5);
    const units = unitsAt(now) + SAME_UNITS;
    const step = now < middle ? -1 : 1;
    for (let index = middle; index !== now; index += step) {
      if (unitsAt(index) <= units) return itemAt(positions, index);
    }
    return joint.at;
  };
}
