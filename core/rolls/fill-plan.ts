/**
 * Small pieces in the waste beside the panels of a nesting. No panel moves and no roll gets longer: a piece lies in what the
 * cuts of its band leave free, a space away from panels and other pieces, so that straight cuts part it too.
 *
 *     ┌──────────┬─────┐      ┌──────────┬──┬──┐
 *     │          │waste│      │          │18│  │
 *     │  LH-03   │     │  →   │  LH-03   ├──┤  │
 *     │          │     │      │          │12│  │
 *     └──────────┴─────┘      └──────────┴──┴──┘
 */

import { foundIn } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { Box } from '../nesting/cut-tree.ts';
import type { FillItem } from '../shop/fill-item.ts';
import { FILL_NEEDS } from '../shop/fill-kind.ts';
import type { PackItem, RollRules, RollStock } from '../shop/rolls.ts';
import type { SizeOnRoll } from './roll-lengths.ts';
import { rollStretches } from './roll-stretch.ts';
import { type PlacedPanel, placedPanel, type RollUse, rollUse } from './roll-use.ts';

/** A rectangle of waste, as wide across the roll as `box.x1 - box.x0`. */
export interface FillSpace {
  readonly rollId: string;
  readonly box: Box;
}

export interface FillPlan {
  /** Before anything lies in them; the largest first. */
  readonly spaces: readonly FillSpace[];
  /** In the order of the list by need; the item of each is named by `fillItemId`. */
  readonly placed: readonly PlacedPanel[];
  /** Of items that found no place for all their pieces, how many are left. */
  readonly left: ReadonlyMap<string, number>;
  /** What is free still. */
  readonly free: readonly FillSpace[];
}

const ID_START = 'fill/';

const pieceId = ({ id }: FillItem, copy: number): string => `${ID_START}${id}/${copy}`;

/** The id in the list of a piece that lies on a roll; undefined for a panel. */
export const fillItemId = (panelId: string): string | undefined =>
  panelId.startsWith(ID_START) ? panelId.split('/')[1] : undefined;

/** What is needed most first; of equal need the larger first, which is harder to place. Keeps FL2. */
export const byNeed = (a: Omit<FillItem, 'id'>, b: Omit<FillItem, 'id'>): number =>
  FILL_NEEDS.indexOf(a.need) - FILL_NEEDS.indexOf(b.need) ||
  b.widthMm * b.heightMm - a.widthMm * a.heightMm ||
  a.label.localeCompare(b.label, 'en', { numeric: true });

export function fillPlan(
  uses: readonly RollUse[],
  rolls: readonly RollStock[],
  { gapMm }: Pick<RollRules, 'gapMm'>,
  items: readonly FillItem[],
): FillPlan {
  const spaces = fillSpaces(uses, rolls, gapMm);
  let free = spaces;
  const placed: PlacedPanel[] = [];
  const left = new Map<string, number>();
  for (const item of items.toSorted(byNeed)) {
    for (let copy = 1; copy <= item.count; copy++) {
      const place = nearestFit(item, free);
      if (!place) {
        left.set(item.id, item.count - copy + 1);
        break;
      }
      const { space, turned } = place;
      const { rollId, box } = space;
      const piece = placedPanel(packItem(item, copy), {
        panelId: pieceId(item, copy),
        rollId,
        xMm: box.x0,
        yMm: box.y0,
        turned,
      });
      placed.push(piece);
      const rests = restsOf(box, piece.size, gapMm);
      free = [...free.filter((each) => each !== space), ...rests.map((rest) => ({ rollId, box: rest }))];
    }
  }
  return { spaces, placed, left, free: free.filter(({ box }) => isSpace(box)).toSorted(byArea) };
}

/** The waste of each roll as disjoint rectangles, between its margins and a space away from its panels. Keeps FL1. */
function fillSpaces(uses: readonly RollUse[], rolls: readonly RollStock[], gapMm: Mm): FillSpace[] {
  return uses
    .flatMap(({ rollId, bands }) => {
      const roll = foundIn(rolls, ({ id }) => id === rollId);
      const panels = bands.flatMap((band) => band.panels);
      return rollStretches(roll, panels, gapMm)
        .filter(({ isOpen }) => !isOpen)
        .map(({ x, width, start, end }) => ({ rollId, box: { x0: x, x1: x + width, y0: start, y1: end } }));
    })
    .filter(({ box }) => isSpace(box))
    .toSorted(byArea);
}

/** Slivers take nothing. */
const LEAST_MM: Mm = 20;

const across = ({ x0, x1 }: Box): Mm => x1 - x0;
const along = ({ y0, y1 }: Box): Mm => y1 - y0;
const isSpace = (box: Box): boolean => across(box) >= LEAST_MM && along(box) >= LEAST_MM;
const byArea = (a: FillSpace, b: FillSpace): number =>
  across(b.box) * along(b.box) - across(a.box) * along(a.box);

/** Whether a piece of an item fits into what is free. */
export const fillFits = (item: FillItem, free: readonly FillSpace[]): boolean =>
  nearestFit(item, free) !== undefined;

interface Fit {
  readonly space: FillSpace;
  readonly turned: boolean;
}

/** The space that it fills nearest to an edge, so that what stays free stays in large pieces. Keeps FL3. */
function nearestFit({ widthMm, heightMm }: FillItem, free: readonly FillSpace[]): Fit | undefined {
  let best: (Fit & { readonly over: Mm }) | undefined;
  for (const space of free) {
    for (const turned of [false, true]) {
      const [wide, long] = turned ? [heightMm, widthMm] : [widthMm, heightMm];
      const over = Math.min(across(space.box) - wide, along(space.box) - long);
      if (over < -LENGTH_TOLERANCE_MM || (best && over >= best.over)) continue;
      best = { space, turned, over };
    }
  }
  return best;
}

/** What a cut through the whole box leaves beside and behind a piece at its corner: the way that leaves the larger one. */
function restsOf(box: Box, size: SizeOnRoll, gapMm: Mm): Box[] {
  const [x, y] = [box.x0 + size.across, box.y0 + size.along];
  const [besideX, behindY] = [x + gapMm, y + gapMm];
  const lengthwise = [
    { ...box, x0: besideX },
    { ...box, x1: x, y0: behindY },
  ];
  const crosswise = [
    { ...box, y0: behindY },
    { ...box, x0: besideX, y1: y },
  ];
  const area = (some: Box) => Math.max(0, across(some)) * Math.max(0, along(some));
  const largest = (some: readonly Box[]) => Math.max(...some.map(area));
  return (largest(lengthwise) >= largest(crosswise) ? lengthwise : crosswise).filter(
    (rest) => across(rest) > 0 && along(rest) > 0,
  );
}

const packItem = (item: FillItem, copy: number): PackItem => ({
  panelId: pieceId(item, copy),
  sideId: pieceId(item, copy),
  label: item.count === 1 ? item.label : `${item.label} ${copy} of ${item.count}`,
  widthMm: item.widthMm,
  lengthMm: item.heightMm,
  mayTurn: true,
  installOrder: 1,
});

/** The rolls with pieces beside their panels: to draw, cut apart and print. What the pieces cover is waste no more. Keeps FL6. */
export const usesWithFill = (
  uses: readonly RollUse[],
  rolls: readonly RollStock[],
  placed: readonly PlacedPanel[],
): readonly RollUse[] =>
  placed.length === 0
    ? uses
    : uses.map((use) => {
        const pieces = placed.filter(({ place }) => place.rollId === use.rollId);
        if (pieces.length === 0) return use;
        const roll = foundIn(rolls, ({ id }) => id === use.rollId);
        return rollUse(roll, [...use.bands.flatMap(({ panels }) => panels), ...pieces]);
      });
