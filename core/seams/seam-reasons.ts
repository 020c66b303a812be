import { z } from 'zod';
import { pathLength, pathMean } from '../measure/path.ts';
import { itemAt } from '../measure/present.ts';
import { listSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { laborCost } from '../shop/cost-card.ts';
import { FilmRates } from './film-zones.ts';
import { NextPlace, nextBestPlace, type Pricing } from './next-best-place.ts';
import { weightsFromAim } from './plan-objective.ts';
import { HIDING_KINDS, HidingKind, type PlanSide, type PlanStock } from './plan-side.ts';
import {
  axisEdges,
  frameCut,
  frameFilm,
  frameSeam,
  isEdgeOn,
  isFrameOpen,
  type PlanFrame,
  type PlanJoint,
  PlannedSeam,
  type PlanSplit,
  type PlanTree,
  pairFrame,
  partFrame,
  sideFrame,
  treeParts,
} from './plan-tree.ts';
import { seamMoney, stretchesOnLine } from './seam-parts.ts';
import type { SliceBooks } from './section-ground.ts';
import { seamFigures } from './side-install.ts';

/** Cost of one seam, item by item, in the cost card's money. The items add up to `total`. */
export const SeamMoney = z.strictObject({
  laying: z.number(),
  picture: z.number(),
  lettering: z.number(),
  shopTrim: z.number(),
  openView: z.number(),
  /** Saving from ending panels on a line; zero or negative. */
  lineSaved: z.number(),
  total: z.number(),
});
export type SeamMoney = z.infer<typeof SeamMoney>;

/** Why a seam is where it is. */
export const SeamReason = z.strictObject({
  seam: PlannedSeam,
  /** The lines that the seam is on, and the share of it on lines of each kind. */
  lineIds: listSchema(z.string()),
  onlineShare: z.partialRecord(HidingKind, z.number()),
  /** How much of the seam is hidden, by the card's hiding shares. */
  hiddenShare: z.number(),
  isLocked: z.boolean(),
  /** The seam stays here only because films meet at it. */
  isFilmEdge: z.literal(true).optional(),
  money: SeamMoney,
  /**
   * The cheapest other place for this seam while all others stay: the place, and the extra cost of the plan (negative
   * is possible under an aim other than cost). Absent where the limits leave no other place.
   */
  nextBest: NextPlace.optional(),
  /**
   * Of a seam with shape: extra film of its panels compared with a straight seam at its mean position; negative where
   * it needs less.
   */
  shapeFilmSquareMeters: z.number().optional(),
});
export type SeamReason = z.infer<typeof SeamReason>;

/** The reasons of a plan's seams, in the order of treeParts. `tick` is called before each and may throw to stop. */
export function seamReasons(
  side: PlanSide,
  stock: PlanStock,
  tree: PlanTree,
  books: SliceBooks,
  tick: () => void = () => {},
): SeamReason[] {
  // Reasons give actual money, so the earlier plan is left out.
  const weights = { ...weightsFromAim(side.card, 'lowest-cost'), movedSeam: 0 };
  const rates = new FilmRates(side, stock, weights);
  const pricing: Pricing = { side, stock, weights, rates, books, priced: new Map(), tick };
  const reasons: SeamReason[] = [];
  const visit = (node: PlanTree, frame: PlanFrame): void => {
    if (node.kind === 'panel') return;
    for (const index of node.joints.keys()) {
      tick();
      const { at, path, follows: _, ...joint } = itemAt(node.joints, index);
      const seam = { place: frameSeam(frame, node.axis, { at, ...(path && { path }) }), joint };
      const trims = seamTrims(side, node, frame, index);
      const reason = seamReason(side, seam, trims, nextBestPlace(pricing, node, frame, index));
      const film = shapeFilm(node, frame, index);
      reasons.push(film === undefined ? reason : { ...reason, shapeFilmSquareMeters: film });
    }
    for (const [index, part] of node.parts.entries()) visit(part, partFrame(node, frame, index));
  };
  visit(tree, sideFrame(side));
  return reasons;
}

/** Undefined for a straight seam, and where a straight seam would leave no panel. */
function shapeFilm(node: PlanSplit, frame: PlanFrame, index: number): number | undefined {
  const { path, follows: _, ...joint } = itemAt(node.joints, index);
  if (!path) return undefined;
  const { from, to } = frameSeam(frame, node.axis, { at: joint.at, path });
  const pair = pairFrame(node, frame, index);
  const filmWith = (tried: PlanJoint) =>
    frameCut(pair, node.axis, tried)
      .flatMap((part, n) => treeParts(itemAt(node.parts, index + n), part).panels)
      .reduce((sum, { frame: panel }) => {
        const { width, height } = frameFilm(panel);
        return sum + (width * height) / 1e6;
      }, 0);
  const more =
    filmWith(itemAt(node.joints, index)) -
    filmWith({ ...joint, at: pathMean(path, { start: from, end: to }) });
  return Number.isFinite(more) ? more : undefined;
}

/** Edges along a seam that are trimmed in the shop: one for each printed panel with a visible edge there. */
function seamTrims(side: PlanSide, node: PlanSplit, frame: PlanFrame, index: number): number {
  const joint = itemAt(node.joints, index);
  const [first, last] = axisEdges(node.axis);
  const edges = [index, index + 1].flatMap((part) =>
    treeParts(itemAt(node.parts, part), partFrame(node, frame, part)).panels.flatMap(({ frame: panel }) => {
      if (isFrameOpen(side, panel)) return [];
      const [trimStart, trimEnd] =
        node.axis === 'vertical' ? [panel.trimLeft, panel.trimRight] : [panel.trimTop, panel.trimBottom];
      const [edge, trims] = part === index ? [last, trimEnd] : [first, trimStart];
      return [isEdgeOn(panel, edge, joint) ? trims : 0];
    }),
  );
  return edges.reduce((sum, trims) => sum + trims, 0);
}

function seamReason(
  side: PlanSide,
  seam: PlannedSeam,
  trims: number,
  nextBest: SeamReason['nextBest'],
): SeamReason {
  const { card } = side;
  const { place } = seam;
  const { parts, cost } = seamFigures(side, seam);
  const held = side.locked.find(
    (locked) => locked.axis === place.axis && Math.abs(locked.at - place.at) <= LENGTH_TOLERANCE_MM,
  );
  const span = { start: place.from, end: place.to };
  const meters = (place.path ? pathLength(place.path, span) : place.to - place.from) / 1000;
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
        [...side.lines, ...(place.path ? side.shapedLines : [])]
          .filter((line) => line.kind !== 'rivet-row' && stretchesOnLine(place, line).length > 0)
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
    isLocked: held !== undefined,
    ...(held?.isFilmEdge && { isFilmEdge: true }),
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
