import { z } from 'zod';
import { listSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { laborCost } from '../shop/cost-card.ts';
import { NextPlace, nextBestPlace, type Pricing } from './next-best-place.ts';
import { panelRates, weightsFromAim } from './plan-objective.ts';
import { HIDING_KINDS, HidingKind, type PlanSide, type PlanStock } from './plan-side.ts';
import {
  frameSeam,
  isFrameOpen,
  type PlanFrame,
  PlannedSeam,
  type PlanTree,
  partFrame,
  sideFrame,
  treeParts,
} from './plan-tree.ts';
import { isOnLine, seamMoney } from './seam-parts.ts';
import type { SliceBooks } from './section-ground.ts';
import { seamFigures } from './side-install.ts';

/** What one seam costs, item by item, in money of the cost card. They add up to `total`. */
export const SeamMoney = z.strictObject({
  laying: z.number(),
  picture: z.number(),
  lettering: z.number(),
  shopTrim: z.number(),
  openView: z.number(),
  /** What ending panels on a line saves; zero or negative. */
  lineSaved: z.number(),
  total: z.number(),
});
export type SeamMoney = z.infer<typeof SeamMoney>;

/** Why a seam is where it is. */
export const SeamReason = z.strictObject({
  seam: PlannedSeam,
  /** The lines it lies on, and how much of it, as a share, runs on lines of each kind. */
  lineIds: listSchema(z.string()),
  onlineShare: z.partialRecord(HidingKind, z.number()),
  /** How much of the seam is hidden, by the card's hiding shares. */
  hiddenShare: z.number(),
  isLocked: z.boolean(),
  money: SeamMoney,
  /**
   * The cheapest other place for this seam, all others staying: where, and what the plan would cost more (or,
   * under another aim than cost, less). Absent where the limits leave no other place.
   */
  nextBest: NextPlace.optional(),
});
export type SeamReason = z.infer<typeof SeamReason>;

/** The reasons of a plan's seams, in the order of treeParts. `tick` is called before each, and may throw to end them. */
export function seamReasons(
  side: PlanSide,
  stock: PlanStock,
  tree: PlanTree,
  books: SliceBooks,
  tick: () => void = () => {},
): SeamReason[] {
  // Reasons speak of money as it is, not of what an earlier plan looked like.
  const weights = { ...weightsFromAim(side.card, 'lowest-cost'), movedSeam: 0 };
  const rates = panelRates(side.card, weights, stock);
  const pricing: Pricing = { side, stock, weights, rates, books, tick };
  const reasons: SeamReason[] = [];
  const visit = (node: PlanTree, frame: PlanFrame): void => {
    if (node.kind === 'panel') return;
    for (const index of node.joints.keys()) {
      tick();
      const { at, ...joint } = node.joints[index]!;
      const seam = { place: frameSeam(frame, node.axis, at), joint };
      const trims = seamTrims(side, node, frame, index);
      reasons.push(seamReason(side, seam, trims, nextBestPlace(pricing, node, frame, index)));
    }
    for (const [index, part] of node.parts.entries()) visit(part, partFrame(node, frame, index));
  };
  visit(tree, sideFrame(side));
  return reasons;
}

/** Edges along a seam that are trimmed in the shop: one of each printed panel that ends there and is seen there. */
function seamTrims(side: PlanSide, node: SplitNode, frame: PlanFrame, index: number): number {
  const { at } = node.joints[index]!;
  const edges = [index, index + 1].flatMap((part) =>
    treeParts(node.parts[part]!, partFrame(node, frame, part)).panels.flatMap(({ frame: panel }) => {
      if (isFrameOpen(side, panel)) return [];
      const [start, end, trimStart, trimEnd] =
        node.axis === 'vertical'
          ? [panel.left, panel.right, panel.trimLeft, panel.trimRight]
          : [panel.top, panel.bottom, panel.trimTop, panel.trimBottom];
      return [part === index ? (end === at ? trimEnd : 0) : start === at ? trimStart : 0];
    }),
  );
  return edges.reduce((sum, trims) => sum + trims, 0);
}

type SplitNode = Extract<PlanTree, { kind: 'split' }>;

function seamReason(
  side: PlanSide,
  seam: PlannedSeam,
  trims: number,
  nextBest: SeamReason['nextBest'],
): SeamReason {
  const { card } = side;
  const { place } = seam;
  const { parts, cost } = seamFigures(side, seam);
  const meters = (place.to - place.from) / 1000;
  const picture = parts.busy * card.pictureMinutesPerMeter;
  const lettering = parts.letteringCuts * card.letteringMinutesPerCrossing;
  const saved = HIDING_KINDS.reduce(
    (sum, kind) => sum + parts.online[kind] * card.crossingMinutesPerMeter[kind],
    0,
  );
  const trimEdges = laborCost(card, trims * card.shopTrimMinutesPerEdge);
  const hidden = HIDING_KINDS.reduce((sum, kind) => sum + parts.online[kind] * card.hidingShare[kind], 0);
  return {
    seam,
    lineIds: [
      ...new Set(
        side.lines
          .filter(
            (line) =>
              line.kind !== 'rivet-row' &&
              isOnLine(line, place.axis, place.at) &&
              line.from < place.to &&
              place.from < line.to,
          )
          .map(({ id }) => id),
      ),
    ],
    onlineShare: Object.fromEntries(
      HIDING_KINDS.filter((kind) => parts.online[kind] > 0).map((kind) => [
        kind,
        parts.online[kind] / meters,
      ]),
    ),
    hiddenShare: Math.min(1, (hidden + parts.ground.open) / meters),
    isLocked: side.locked.some(
      (locked) => locked.axis === place.axis && Math.abs(locked.at - place.at) <= LENGTH_TOLERANCE_MM,
    ),
    money: {
      laying: laborCost(card, cost.installMinutes - cost.matchingMinutes + saved),
      picture: laborCost(card, picture),
      lettering: laborCost(card, lettering),
      shopTrim: laborCost(card, cost.shopMinutes) + trimEdges,
      openView: cost.visibleMeters * card.visibleSeamPerMeter,
      lineSaved: -laborCost(card, saved),
      total: seamMoney(card, cost) + trimEdges,
    },
    nextBest,
  };
}
