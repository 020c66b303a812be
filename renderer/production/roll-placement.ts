/** Moves a panel on a roll: it stays on the film, snaps to margins and neighbors, and its place is said in words. */
import { lengthText } from '../../core/measure/length-text.ts';
import { longLengthText } from '../../core/measure/long-length.ts';
import { firstOf } from '../../core/measure/present.ts';
import type { Mm } from '../../core/measure/units.ts';
import { sizeOnRoll } from '../../core/rolls/roll-lengths.ts';
import type { PackItem, RollPlacement, RollRules, RollStock } from '../../core/shop/rolls.ts';

export interface PlacementContext {
  readonly item: PackItem;
  readonly roll: RollStock;
  readonly rules: Pick<RollRules, 'gapMm'>;
  /** The other panels on that roll. */
  readonly others: readonly { readonly item: PackItem; readonly place: RollPlacement }[];
}

/**
 * Keeps a place between the margins and behind the lead-in. A panel that is too wide begins at the left margin, and
 * one may be let go beyond the film's end: findings say so.
 */
export function placementOnFilm(place: RollPlacement, { item, roll }: PlacementContext): RollPlacement {
  const { across } = sizeOnRoll(item, place.turned);
  const farthest = Math.max(roll.leftMarginMm, roll.widthMm - roll.rightMarginMm - across);
  return {
    ...place,
    xMm: tenths(Math.min(Math.max(roll.leftMarginMm, place.xMm), farthest)),
    yMm: tenths(Math.min(Math.max(roll.leadInMm, place.yMm), roll.usableLengthMm)),
  };
}

/** Stored places are whole tenths of a millimeter: finer than any printer feeds. */
const tenths = (mm: Mm): Mm => Math.round(mm * 10) / 10;

/**
 * Draws a place to what is within reach: the margins and the end of the lead-in, the edges of neighbors, and a gap
 * beside them. Each direction by itself.
 */
export function placementSnapped(
  place: RollPlacement,
  context: PlacementContext,
  reachMm: Mm,
): RollPlacement {
  const { item, roll, rules, others } = context;
  const { across, along } = sizeOnRoll(item, place.turned);
  const acrossAt = [roll.leftMarginMm, roll.widthMm - roll.rightMarginMm - across];
  const alongAt = [roll.leadInMm];
  for (const other of others) {
    const size = sizeOnRoll(other.item, other.place.turned);
    const { xMm, yMm } = other.place;
    acrossAt.push(xMm, xMm + size.across + rules.gapMm, xMm - rules.gapMm - across);
    alongAt.push(yMm, yMm + size.along + rules.gapMm, yMm - rules.gapMm - along);
  }
  return placementOnFilm(
    { ...place, xMm: nearest(place.xMm, acrossAt, reachMm), yMm: nearest(place.yMm, alongAt, reachMm) },
    context,
  );
}

function nearest(at: Mm, places: readonly Mm[], reachMm: Mm): Mm {
  const best = places.reduce((a, b) => (Math.abs(b - at) < Math.abs(a - at) ? b : a), firstOf(places));
  return Math.abs(best - at) <= reachMm ? best : at;
}

/** Turned about its corner, and kept on the film. */
export const placementTurned = (place: RollPlacement, context: PlacementContext): RollPlacement =>
  placementOnFilm({ ...place, turned: !place.turned }, context);

/** `200 mm from the start, 10 mm from the left edge, turned` */
export function placementText({ xMm, yMm, turned }: RollPlacement, unit: 'mm' | 'in'): string {
  const words = `${longLengthText(yMm, unit)} from the start, ${lengthText(xMm, unit)} from the left edge`;
  return turned ? `${words}, turned` : words;
}
