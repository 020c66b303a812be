import { z } from 'zod';
import { listSchema, mmSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { Box } from '../nesting/cut-tree.ts';
import { PackItem, RollPlacement, type RollStock } from '../shop/rolls.ts';
import { SizeOnRoll, sizeOnRoll, wastePercent } from './roll-lengths.ts';

/** A panel with the place that it has on a roll. */
export const PlacedPanel = z.strictObject({ item: PackItem, place: RollPlacement, size: SizeOnRoll });
export type PlacedPanel = z.infer<typeof PlacedPanel>;

/**
 * What one cut across the roll after another takes off: panels that share some length, in print order. Inside a band
 * the knife goes lengthwise, then across what it has parted, and so on.
 */
export const RollBand = z.strictObject({
  startMm: mmSchema,
  endMm: mmSchema,
  panels: listSchema(PlacedPanel),
});
export type RollBand = z.infer<typeof RollBand>;

/** What is printed on one roll, in print order. */
export const RollUse = z.strictObject({
  rollId: z.string(),
  bands: listSchema(RollBand),
  /** From the start of the film to the end of the tail behind the last panel. */
  usedLengthMm: mmSchema,
  panelAreaMm2: z.number(),
  wastePercent: z.number(),
});
export type RollUse = z.infer<typeof RollUse>;

export const placedPanel = (item: PackItem, place: RollPlacement): PlacedPanel => ({
  item,
  place,
  size: sizeOnRoll(item, place.turned),
});

export const placedRight = (panel: PlacedPanel): Mm => panel.place.xMm + panel.size.across;
export const placedEnd = (panel: PlacedPanel): Mm => panel.place.yMm + panel.size.along;

export const placedBox = (panel: PlacedPanel): Box => ({
  x0: panel.place.xMm,
  x1: placedRight(panel),
  y0: panel.place.yMm,
  y1: placedEnd(panel),
});

/** The bands of the panels on one roll: a new one begins where a straight cross cut touches no panel. */
export function rollBands(panels: readonly PlacedPanel[]): RollBand[] {
  const groups: { startMm: Mm; endMm: Mm; panels: PlacedPanel[] }[] = [];
  for (const panel of [...panels].sort((a, b) => a.place.yMm - b.place.yMm)) {
    const band = groups.at(-1);
    if (band && panel.place.yMm < band.endMm - LENGTH_TOLERANCE_MM) {
      band.panels.push(panel);
      band.endMm = Math.max(band.endMm, placedEnd(panel));
    } else {
      groups.push({ startMm: panel.place.yMm, endMm: placedEnd(panel), panels: [panel] });
    }
  }
  for (const { panels: some } of groups) {
    some.sort((a, b) => a.place.yMm - b.place.yMm || a.place.xMm - b.place.xMm);
  }
  return groups;
}

export function rollUse(roll: RollStock, panels: readonly PlacedPanel[]): RollUse {
  const bands = rollBands(panels);
  const last = bands.at(-1);
  const usedLengthMm = last ? last.endMm + roll.tailMm : 0;
  const panelAreaMm2 = panels.reduce((sum, { size }) => sum + size.across * size.along, 0);
  return {
    rollId: roll.id,
    bands,
    usedLengthMm,
    panelAreaMm2,
    wastePercent: wastePercent(panelAreaMm2, roll.widthMm, usedLengthMm),
  };
}

/** The panels of the rolls in print order: roll by roll, band by band, by where they begin, then left to right. */
export const printOrderOf = (uses: readonly RollUse[]): PlacedPanel[] =>
  uses.flatMap((use) => use.bands.flatMap((band) => band.panels));
