import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { labourCost } from './cost-card.ts';
import { rollLength } from './film-fit.ts';
import { seamFigures } from './plan-figures.ts';
import { seamLimitsBroken } from './plan-limits.ts';
import {
  type PanelRates,
  type PlanWeights,
  panelRates,
  UNITS_PER_MONEY,
  weightsFromAim,
} from './plan-objective.ts';
import {
  jointFromLap,
  LINE_KINDS,
  type LineKind,
  type PlanSide,
  type PlanStock,
  type SeamAxis,
} from './plan-side.ts';
import {
  frameAlong,
  frameCut,
  frameFilm,
  frameSeam,
  type PlanFrame,
  type PlanJoint,
  type PlannedSeam,
  type PlanTree,
  partFrame,
  sideFrame,
  treeParts,
} from './plan-tree.ts';
import { isOnLine, seamMoney } from './seam-parts.ts';
import { seamUnitsAt } from './section-search.ts';
import type { StripBook } from './strip-costs.ts';

/** Another place counts as another only from this far on; nearer ones are the same seam nudged. */
export const ELSEWHERE_MM = 25;

/** What one seam costs, item by item, in money of the cost card. They add up to `total`. */
export interface SeamMoney {
  readonly laying: number;
  readonly picture: number;
  readonly lettering: number;
  readonly shopTrim: number;
  readonly openView: number;
  /** What ending panels on a line saves; zero or negative. */
  readonly lineSaved: number;
  readonly total: number;
}

/** Why a seam is where it is. */
export interface SeamReason {
  readonly seam: PlannedSeam;
  /** The lines it lies on, and how much of it, as a share, runs on lines of each kind. */
  readonly lineIds: readonly string[];
  readonly onlineShare: Readonly<Partial<Record<LineKind, number>>>;
  /** How much of the seam is hidden, by the card's hiding shares. */
  readonly hiddenShare: number;
  readonly isLocked: boolean;
  readonly money: SeamMoney;
  /**
   * The cheapest other place for this seam, all others staying: where, and what the plan would cost more (or,
   * under another aim than cost, less). Absent where the limits leave no other place.
   */
  readonly nextBest: { readonly at: Mm; readonly extraMoney: number } | undefined;
}

/** The reasons of a plan's seams, in the order of treeParts. */
export function seamReasons(
  side: PlanSide,
  stock: PlanStock,
  tree: PlanTree,
  books: Readonly<Record<SeamAxis, StripBook>>,
): SeamReason[] {
  // Reasons speak of money as it is, not of what an earlier plan looked like.
  const weights = { ...weightsFromAim(side.card, 'lowest-cost'), movedSeam: 0 };
  const rates = panelRates(side.card, weights, stock);
  const pricing: Pricing = { side, stock, weights, rates, books };
  const reasons: SeamReason[] = [];
  const visit = (node: PlanTree, frame: PlanFrame): void => {
    if (node.kind === 'panel') return;
    for (const index of node.joints.keys()) {
      const joint = node.joints[index]!;
      const seam = { place: frameSeam(frame, node.axis, joint.at), joint };
      reasons.push(seamReason(side, seam, nextBestPlace(pricing, node, frame, index)));
    }
    for (const [index, part] of node.parts.entries()) visit(part, partFrame(node, frame, index));
  };
  visit(tree, sideFrame(side));
  return reasons;
}

interface Pricing {
  readonly side: PlanSide;
  readonly stock: PlanStock;
  readonly weights: PlanWeights;
  readonly rates: PanelRates;
  readonly books: Readonly<Record<SeamAxis, StripBook>>;
}

function seamReason(side: PlanSide, seam: PlannedSeam, nextBest: SeamReason['nextBest']): SeamReason {
  const { card } = side;
  const { place } = seam;
  const { parts, cost } = seamFigures(side, seam);
  const metres = (place.to - place.from) / 1000;
  const picture = parts.busy * card.pictureMinutesPerMetre;
  const lettering = parts.lettering * card.letteringMinutesPerCrossing;
  const saved = LINE_KINDS.reduce(
    (sum, kind) => sum + parts.online[kind] * card.crossingMinutesPerMetre[kind],
    0,
  );
  const hidden = LINE_KINDS.reduce((sum, kind) => sum + parts.online[kind] * card.hidingShare[kind], 0);
  return {
    seam,
    lineIds: side.lines
      .filter((line) => isOnLine(line, place.axis, place.at) && line.from < place.to && place.from < line.to)
      .map(({ id }) => id),
    onlineShare: Object.fromEntries(
      LINE_KINDS.filter((kind) => parts.online[kind] > 0).map((kind) => [kind, parts.online[kind] / metres]),
    ),
    hiddenShare: Math.min(1, (hidden + parts.ground.open) / metres),
    isLocked: side.locked.some(
      (locked) => locked.axis === place.axis && Math.abs(locked.at - place.at) <= LENGTH_TOLERANCE_MM,
    ),
    money: {
      laying: labourCost(card, cost.installMinutes - picture - lettering + saved),
      picture: labourCost(card, picture),
      lettering: labourCost(card, lettering),
      shopTrim: labourCost(card, cost.shopMinutes),
      openView: cost.visibleMetres * card.visibleSeamPerMetre,
      lineSaved: -labourCost(card, saved),
      total: seamMoney(card, cost),
    },
    nextBest,
  };
}

/**
 * Tries a seam at every other position between its neighbours, as a lap, and keeps the cheapest: seam, the two
 * parts beside it and all within them. On a tie the nearer place wins, then the one before.
 */
function nextBestPlace(
  pricing: Pricing,
  node: Extract<PlanTree, { kind: 'run' }>,
  frame: PlanFrame,
  index: number,
): SeamReason['nextBest'] {
  const { side, stock, weights, books } = pricing;
  const { axis } = node;
  const joint = node.joints[index]!;
  const pair = pairFrame(node, frame, index);
  const [before, after] = [node.parts[index]!, node.parts[index + 1]!];
  const run = frameAlong(pair, axis);
  const priceWith = (tried: PlanJoint, seamUnits: number): number => {
    const [frameBefore, frameAfter] = frameCut(pair, axis, tried);
    return seamUnits + partUnits(pricing, before, frameBefore) + partUnits(pricing, after, frameAfter);
  };
  const current = priceWith(joint, seamUnitsAt(side, weights, frameSeam(frame, axis, joint.at), joint));
  const lap = jointFromLap(stock.lap, axis, side.front);
  const book = books[axis];
  const strip = book.strip(run.from, run.to).units(weights);
  let best: { at: Mm; units: number } | undefined;
  for (const [i, at] of book.positions.entries()) {
    if (at <= run.start || at >= run.end || Math.abs(at - joint.at) < ELSEWHERE_MM) continue;
    if (strip[i] === Number.POSITIVE_INFINITY) continue;
    const units = priceWith({ ...lap, at }, strip[i]!);
    const isBetter =
      best === undefined ||
      units < best.units ||
      (units === best.units && Math.abs(at - joint.at) < Math.abs(best.at - joint.at));
    if (isBetter && units !== Number.POSITIVE_INFINITY) best = { at, units };
  }
  return best && { at: best.at, extraMoney: (best.units - current) / UNITS_PER_MONEY };
}

/** The frame of the two parts beside a joint, taken together. */
function pairFrame(node: Extract<PlanTree, { kind: 'run' }>, frame: PlanFrame, index: number): PlanFrame {
  const [before, after] = [node.joints[index - 1], node.joints[index + 1]];
  let pair = frame;
  if (after) pair = frameCut(pair, node.axis, after)[0];
  if (before) pair = frameCut(pair, node.axis, before)[1];
  return pair;
}

/** What the panels and seams of a part cost in a frame, Infinity where they break a limit of size or place. */
function partUnits(pricing: Pricing, part: PlanTree, frame: PlanFrame): number {
  const { side, stock, rates, weights } = pricing;
  const { panels, seams } = treeParts(part, frame);
  let units = 0;
  for (const panel of panels) {
    const net = panel.frame;
    if (Math.min(net.right - net.left, net.bottom - net.top) < side.minPanel - LENGTH_TOLERANCE_MM) {
      return Number.POSITIVE_INFINITY;
    }
    const film = frameFilm(net, side.border);
    const length = rollLength(stock.roll, side.card, film.width, film.height);
    if (length === undefined) return Number.POSITIVE_INFINITY;
    units += rates.perPanel + rates.perRollMm * length;
  }
  for (const seam of seams) {
    if (seamLimitsBroken(side, seam).length > 0) return Number.POSITIVE_INFINITY;
    units += seamUnitsAt(side, weights, seam.place, seam.joint);
  }
  return units;
}

/**
 * A reason as one sentence. `length` writes millimetres the way the reader counts them, `money` an amount.
 */
export function seamSentence(
  reason: SeamReason,
  length: (mm: Mm) => string,
  money: (amount: number) => string,
): string {
  const { seam, nextBest } = reason;
  const [kind] =
    (Object.entries(reason.onlineShare) as [LineKind, number][]).sort((a, b) => b[1] - a[1])[0] ?? [];
  const hidden = Math.round(reason.hiddenShare * 100);
  const where = kind ? `on the ${LINE_NAMES[kind]}, ${hidden} % hidden` : 'in open view';
  const locked = reason.isLocked ? ', fixed by the operator' : '';
  const next = nextBest
    ? `the next best place, at ${length(nextBest.at)}, would cost ${
        nextBest.extraMoney < 0
          ? `${money(-nextBest.extraMoney)} less but serve this plan's aim worse`
          : `${money(nextBest.extraMoney)} more`
      }`
    : 'no other place fits';
  const direction = seam.place.axis === 'vertical' ? 'Vertical' : 'Horizontal';
  return `${direction} seam at ${length(seam.place.at)}, ${where}${locked}: costs about ${money(reason.money.total)}; ${next}.`;
}

const LINE_NAMES: Readonly<Record<LineKind, string>> = {
  crease: 'crease',
  moulding: 'moulding',
  'panel-gap': 'panel gap',
  'rivet-row': 'rivet row',
};
