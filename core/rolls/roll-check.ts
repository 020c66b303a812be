import { z } from 'zod';
import { Finding } from '../findings/finding.ts';
import { itemAt, valueAt } from '../measure/present.ts';
import { listSchema, mmSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type Box, type CutTree, cutTree } from '../nesting/cut-tree.ts';
import type { PackItem, RollPlacement, RollRules, RollStock } from '../shop/rolls.ts';
import { outOfOrderCount } from './print-order.ts';
import {
  lockedPanelMoved,
  panelBeyondRoll,
  panelInLeadIn,
  panelOverLongestPrint,
  panelOverMargin,
  panelsNotCuttable,
  panelsOverlap,
  panelsTooClose,
  panelTurned,
  panelWithoutPlace,
  placeUnknown,
  printedOutOfOrder,
  sideInTwoDirections,
  sideOfTwoLots,
  sideOnTwoRolls,
} from './roll-findings.ts';
import { sentLength } from './roll-lengths.ts';
import {
  type PlacedPanel,
  placedBox,
  placedEnd,
  placedPanel,
  placedRight,
  printOrderOf,
  RollUse,
  rollUse,
} from './roll-use.ts';

export const RollPlanCheck = z.strictObject({
  findings: listSchema(Finding),
  /** Rolls that carry panels, in the order of the stock. */
  uses: listSchema(RollUse),
  filmUsedMm: mmSchema,
  filmAreaMm2: z.number(),
  rollChanges: z.number().int(),
  outOfOrder: z.number().int(),
});
export type RollPlanCheck = z.infer<typeof RollPlanCheck>;

/**
 * Looks at any plan, by hand or by search, and says what is wrong with it: fast enough to be asked while a
 * panel is dragged. Places of unknown panels or rolls are named and otherwise left out.
 */
export function rollPlanCheck(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  placements: readonly RollPlacement[],
): RollPlanCheck {
  const findings: Finding[] = [];
  const placed = knownPlacements(items, rolls, placements, findings);
  const byRoll = new Map(rolls.map((roll) => [roll, [] as PlacedPanel[]]));
  for (const { panel, roll } of placed) valueAt(byRoll, roll).push(panel);

  for (const { panel, roll } of placed) findings.push(...placeFindings(panel, roll, rules));
  for (const [roll, panels] of byRoll) findings.push(...neighborFindings(panels, roll, rules));
  findings.push(...sideFindings(placed, rules));

  const uses = rolls
    .map((roll) => rollUse(roll, valueAt(byRoll, roll)))
    .filter((use) => use.bands.length > 0);
  const outOfOrder = outOfOrderCount(
    printOrderOf(uses).map((panel) => panel.item),
    rules.printOrder,
  );
  if (outOfOrder > 0) findings.push(printedOutOfOrder(outOfOrder));
  const widthOf = new Map(rolls.map((roll) => [roll.id, roll.widthMm]));
  return {
    findings,
    uses,
    filmUsedMm: uses.reduce((sum, use) => sum + use.usedLengthMm, 0),
    filmAreaMm2: uses.reduce((sum, use) => sum + use.usedLengthMm * valueAt(widthOf, use.rollId), 0),
    rollChanges: Math.max(0, uses.length - 1),
    outOfOrder,
  };
}

interface Placed {
  readonly panel: PlacedPanel;
  readonly roll: RollStock;
}

function knownPlacements(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  placements: readonly RollPlacement[],
  findings: Finding[],
): Placed[] {
  const itemOf = new Map(items.map((item) => [item.panelId, item]));
  const rollOf = new Map(rolls.map((roll) => [roll.id, roll]));
  const seen = new Set<string>();
  const placed: Placed[] = [];
  for (const place of placements) {
    const item = itemOf.get(place.panelId);
    const roll = rollOf.get(place.rollId);
    if (!item) findings.push(placeUnknown(place.panelId, place.rollId, 'panel'));
    else if (!roll) findings.push(placeUnknown(place.panelId, place.rollId, 'roll'));
    else if (seen.has(place.panelId))
      findings.push(placeUnknown(place.panelId, place.rollId, 'second place'));
    else {
      seen.add(place.panelId);
      placed.push({ panel: placedPanel(item, place), roll });
    }
  }
  for (const item of items) if (!seen.has(item.panelId)) findings.push(panelWithoutPlace(item));
  return placed;
}

function placeFindings(panel: PlacedPanel, roll: RollStock, rules: RollRules): Finding[] {
  const { item, place, size } = panel;
  const findings: Finding[] = [];
  const isOver = (length: Mm): boolean => length > LENGTH_TOLERANCE_MM;
  if (place.turned && !item.mayTurn) findings.push(panelTurned(item, roll));
  const overLeft = roll.leftMarginMm - place.xMm;
  const overRight = placedRight(panel) - (roll.widthMm - roll.rightMarginMm);
  const overEnd = placedEnd(panel) - (roll.usableLengthMm - roll.tailMm);
  if (isOver(overLeft)) findings.push(panelOverMargin(item, roll, overLeft, 'left', rules));
  if (isOver(overRight)) findings.push(panelOverMargin(item, roll, overRight, 'right', rules));
  if (isOver(roll.leadInMm - place.yMm)) findings.push(panelInLeadIn(item, roll, rules));
  if (isOver(overEnd)) findings.push(panelBeyondRoll(item, roll, overEnd, rules));
  const sent = sentLength(size.along, rules);
  if (isOver(sent - rules.longestPrintMm)) findings.push(panelOverLongestPrint(item, sent, rules));
  if (item.locked && !isSamePlace(item.locked, place)) findings.push(lockedPanelMoved(item, roll));
  return findings;
}

export const isSamePlace = (a: Omit<RollPlacement, 'panelId'>, b: RollPlacement): boolean =>
  a.rollId === b.rollId &&
  a.turned === b.turned &&
  Math.abs(a.xMm - b.xMm) <= LENGTH_TOLERANCE_MM &&
  Math.abs(a.yMm - b.yMm) <= LENGTH_TOLERANCE_MM;

function neighborFindings(panels: readonly PlacedPanel[], roll: RollStock, rules: RollRules): Finding[] {
  const findings: Finding[] = [];
  const sorted = [...panels].sort((a, b) => a.place.yMm - b.place.yMm);
  sorted.forEach((panel, index) => {
    for (let next = index + 1; next < sorted.length; next++) {
      const other = itemAt(sorted, next);
      // Sorted by where they begin: from here on none lies nearer than a gap behind this panel.
      if (other.place.yMm >= placedEnd(panel) + rules.gapMm - LENGTH_TOLERANCE_MM) break;
      const across = clearance(panel.place.xMm, placedRight(panel), other.place.xMm, placedRight(other));
      const along = clearance(panel.place.yMm, placedEnd(panel), other.place.yMm, placedEnd(other));
      const apart = Math.max(across, along);
      if (apart < -LENGTH_TOLERANCE_MM) findings.push(panelsOverlap(other.item, panel.item, roll));
      else if (apart < rules.gapMm - LENGTH_TOLERANCE_MM) {
        findings.push(panelsTooClose(other.item, panel.item, roll, Math.max(0, apart), rules));
      }
    }
  });
  findings.push(...joinedPanels(cutTree(panels, placedBox)).flatMap((some) => cutFindings(some, roll)));
  return findings;
}

/** Groups of panels that no straight cut from edge to edge parts. */
function joinedPanels(tree: CutTree<PlacedPanel>): (readonly PlacedPanel[])[] {
  if (tree.kind === 'joined') return [tree.items];
  return tree.kind === 'cut' ? tree.parts.flatMap(joinedPanels) : [];
}

/** Panels that overlap have been named already; here are those that only a stepped cut would part. */
function cutFindings(joined: readonly PlacedPanel[], roll: RollStock): Finding[] {
  const sorted = [...joined].sort((a, b) => a.place.yMm - b.place.yMm || a.place.xMm - b.place.xMm);
  const isOverlapping = sorted.some((panel, index) =>
    sorted.slice(index + 1).some((other) => overlaps(placedBox(panel), placedBox(other))),
  );
  return sorted.length === 0 || isOverlapping
    ? []
    : [
        panelsNotCuttable(
          sorted.map(({ item }) => item),
          roll,
        ),
      ];
}

const overlaps = (a: Box, b: Box): boolean =>
  Math.max(clearance(a.x0, a.x1, b.x0, b.x1), clearance(a.y0, a.y1, b.y0, b.y1)) < -LENGTH_TOLERANCE_MM;

/** How far two stretches of a line are apart; negative where they share some. */
const clearance = (startA: Mm, endA: Mm, startB: Mm, endB: Mm): Mm =>
  Math.max(startA, startB) - Math.min(endA, endB);

function sideFindings(placed: readonly Placed[], rules: RollRules): Finding[] {
  const findings: Finding[] = [];
  const first = new Map<string, Placed>();
  for (const { panel, roll } of placed) {
    const mate = first.get(panel.item.sideId);
    if (!mate) first.set(panel.item.sideId, { panel, roll });
    else {
      if (rules.sideOnOneRoll && mate.roll !== roll)
        findings.push(sideOnTwoRolls(panel.item, roll, mate.roll));
      else if (areOtherLots(roll, mate.roll)) findings.push(sideOfTwoLots(panel.item, roll, mate.roll));
      if (rules.sideInOneDirection && mate.panel.place.turned !== panel.place.turned) {
        findings.push(sideInTwoDirections(panel.item, roll));
      }
    }
  }
  return findings;
}

/** A roll that was typed says nothing of its lot. */
const areOtherLots = ({ onShelf: one }: RollStock, { onShelf: other }: RollStock): boolean =>
  one !== undefined && other !== undefined && one.lotNumber !== other.lotNumber;
