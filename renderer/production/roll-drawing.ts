/**
 * The rolls of a nesting in pixels, one below the other. Each is drawn sideways as on the ticket: the start of the film
 * on the left, its left edge at the bottom, so it is turned by a quarter and not mirrored.
 */

import { lastOf } from '../../core/measure/present.ts';
import type { Mm } from '../../core/measure/units.ts';
import { usesWithFill } from '../../core/rolls/fill-plan.ts';
import { cutLines } from '../../core/rolls/print-strips.ts';
import { sizeOnRoll } from '../../core/rolls/roll-lengths.ts';
import type { PlacedPanel, RollUse } from '../../core/rolls/roll-use.ts';
import type { PackItem, RollPlacement, RollStock } from '../../core/shop/rolls.ts';

export interface PxBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface DrawnPanel {
  readonly item: PackItem;
  readonly place: RollPlacement;
  readonly box: PxBox;
}

export interface DrawnRoll {
  readonly roll: RollStock;
  readonly use: RollUse | undefined;
  readonly caption: PxPoint;
  /** The film that is shown. */
  readonly film: PxBox;
  /** Lead-in, margins and tail: nothing prints there. */
  readonly idle: readonly PxBox[];
  readonly panels: readonly DrawnPanel[];
  readonly pieces: readonly DrawnPanel[];
  /** Where the knife goes: across the roll first, then within the bands. */
  readonly cuts: string;
  /** In what order it goes within a band, where that matters. */
  readonly cutNumbers: readonly DrawnCutNumber[];
  /** Along the film, at whole steps. */
  readonly ticks: readonly { readonly x: number; readonly atMm: Mm }[];
}

/** On the middle of the line of a cut. */
export interface DrawnCutNumber extends PxPoint {
  readonly number: number;
}

export interface PxPoint {
  readonly x: number;
  readonly y: number;
}

export interface RollsDrawing {
  readonly pxPerMm: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rolls: readonly DrawnRoll[];
}

const CAPTION_PX = 22;
const RULER_PX = 18;
const GAP_PX = 14;
/** Film shown behind the last panel, so that one can be put there. */
const FREE_MM: Mm = 1500;
const LEAST_SHOWN_MM: Mm = 3000;
const TICK_STEPS_MM = {
  mm: [100, 250, 500, 1000, 2000, 5000],
  in: [127, 304.8, 609.6, 1524, 3048, 6096],
} as const;
const LEAST_TICK_PX = 52;

/** Rolls that carry panels, and the first that is free. Where the shop has entered rolls, all of them. */
export function rollsShown(
  rolls: readonly RollStock[],
  uses: readonly RollUse[],
  areEntered: boolean,
): readonly RollStock[] {
  if (areEntered) return rolls;
  const isUsed = ({ id }: RollStock) => uses.some(({ rollId }) => rollId === id);
  const free = rolls.find((roll) => !isUsed(roll));
  return rolls.filter((roll) => isUsed(roll) || roll === free);
}

/** Length of film that is drawn of each roll. */
export const lengthShown = (uses: readonly RollUse[]): Mm =>
  Math.max(LEAST_SHOWN_MM, ...uses.map(({ usedLengthMm }) => usedLengthMm)) + FREE_MM;

export interface RollsOnPlan {
  readonly rolls: readonly RollStock[];
  readonly uses: readonly RollUse[];
  readonly items: readonly PackItem[];
  readonly placements: readonly RollPlacement[];
  /** Small pieces in the waste beside the panels. */
  readonly pieces?: readonly PlacedPanel[];
}

export function rollsDrawing(plan: RollsOnPlan, pxPerMm: number, unit: 'mm' | 'in'): RollsDrawing {
  const shownMm = lengthShown(plan.uses);
  let top = 0;
  const rolls = plan.rolls.map((roll) => {
    const drawn = drawnRoll(plan, roll, { top, shownMm, pxPerMm, unit });
    top += CAPTION_PX + drawn.film.height + RULER_PX + GAP_PX;
    return drawn;
  });
  return { pxPerMm, widthPx: shownMm * pxPerMm, heightPx: top, rolls };
}

interface Setting {
  readonly top: number;
  readonly shownMm: Mm;
  readonly pxPerMm: number;
  readonly unit: 'mm' | 'in';
}

function drawnRoll(plan: RollsOnPlan, roll: RollStock, { top, shownMm, pxPerMm, unit }: Setting): DrawnRoll {
  const use = plan.uses.find(({ rollId }) => rollId === roll.id);
  const pieces = (plan.pieces ?? []).filter(({ place }) => place.rollId === roll.id);
  const lengthMm = Math.min(shownMm, roll.usableLengthMm);
  const filmTop = top + CAPTION_PX;
  const box = (alongMm: Mm, acrossMm: Mm, lengthOfMm: Mm, widthOfMm: Mm): PxBox => ({
    x: alongMm * pxPerMm,
    y: filmTop + (roll.widthMm - acrossMm - widthOfMm) * pxPerMm,
    width: lengthOfMm * pxPerMm,
    height: widthOfMm * pxPerMm,
  });
  const { leftMarginMm, rightMarginMm, leadInMm, tailMm, widthMm } = roll;
  const filled = use && usesWithFill([use], [roll], pieces)[0];
  const tail = use ? box(use.usedLengthMm - tailMm, 0, tailMm, widthMm) : undefined;
  const itemOf = new Map(plan.items.map((item) => [item.panelId, item]));
  return {
    roll,
    use: filled,
    caption: { x: 0, y: top + CAPTION_PX - 6 },
    film: box(0, 0, lengthMm, widthMm),
    idle: [
      box(0, 0, leadInMm, widthMm),
      box(0, 0, lengthMm, leftMarginMm),
      box(0, widthMm - rightMarginMm, lengthMm, rightMarginMm),
      ...(tail ? [tail] : []),
    ].filter(({ width, height }) => width > 0 && height > 0),
    panels: plan.placements
      .filter(({ rollId }) => rollId === roll.id)
      .flatMap((place) => {
        const item = itemOf.get(place.panelId);
        if (!item) return [];
        const { across, along } = sizeOnRoll(item, place.turned);
        return [{ item, place, box: box(place.yMm, place.xMm, along, across) }];
      }),
    pieces: pieces.map(({ item, place, size }) => ({
      ...{ item, place },
      box: box(place.yMm, place.xMm, size.along, size.across),
    })),
    ...drawnCuts(filled, roll, box),
    ticks: ticksAlong(lengthMm, pxPerMm, unit),
  };
}

function drawnCuts(
  use: RollUse | undefined,
  { widthMm }: RollStock,
  box: (alongMm: Mm, acrossMm: Mm, lengthMm: Mm, widthMm: Mm) => PxBox,
): Pick<DrawnRoll, 'cuts' | 'cutNumbers'> {
  const { acrossAtMm, withinBands } = cutLines(use?.bands ?? [], widthMm);
  const within = withinBands.map(({ way, atMm, fromMm, toMm, number }) => ({
    line: way === 'across' ? box(atMm, fromMm, 0, toMm - fromMm) : box(fromMm, atMm, toMm - fromMm, 0),
    number,
  }));
  const lines = [...acrossAtMm.map((at) => box(at, 0, 0, widthMm)), ...within.map(({ line }) => line)];
  return {
    cuts: lines
      .map(({ x, y, width, height }) => `M${x} ${y}${width === 0 ? `v${height}` : `h${width}`}`)
      .join(''),
    cutNumbers: within.flatMap(({ line: { x, y, width, height }, number }) =>
      number === undefined ? [] : [{ x: x + width / 2, y: y + height / 2, number }],
    ),
  };
}

function ticksAlong(lengthMm: Mm, pxPerMm: number, unit: 'mm' | 'in') {
  const steps = TICK_STEPS_MM[unit];
  const step = steps.find((mm) => mm * pxPerMm >= LEAST_TICK_PX) ?? lastOf(steps);
  const count = Math.floor(lengthMm / step);
  return Array.from({ length: count + 1 }, (_, index) => ({ x: index * step * pxPerMm, atMm: index * step }));
}

/** The roll whose film is nearest to a height on the drawing. */
export function rollAtHeight(drawing: RollsDrawing, y: number): DrawnRoll | undefined {
  const away = ({ film }: DrawnRoll) => Math.max(film.y - y, 0, y - (film.y + film.height));
  return drawing.rolls.toSorted((a, b) => away(a) - away(b))[0];
}

/** Where on a roll a panel lies whose drawn upper left corner is at this point. */
export function placementAtPoint(
  drawing: RollsDrawing,
  { roll, film }: DrawnRoll,
  corner: PxPoint,
  size: { readonly across: Mm },
): { readonly xMm: Mm; readonly yMm: Mm } {
  return {
    xMm: roll.widthMm - (corner.y - film.y) / drawing.pxPerMm - size.across,
    yMm: corner.x / drawing.pxPerMm,
  };
}
