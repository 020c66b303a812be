import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { RollRules } from '../shop/rolls.ts';
import { sentLength } from './roll-lengths.ts';
import { placedRight, type RollBand, type RollUse } from './roll-use.ts';

/** Bands that are printed as one file and cut apart afterwards. */
export interface PrintStrip {
  readonly rollId: string;
  readonly startMm: Mm;
  readonly endMm: Mm;
  readonly bands: readonly RollBand[];
}

/**
 * Joins the bands of a roll into as few files as the longest print and the longest page allow, in print order. A
 * band that is longer is a file of its own.
 */
export function printStrips(
  use: RollUse,
  rules: RollRules,
  longestPageMm: Mm = Number.POSITIVE_INFINITY,
): PrintStrip[] {
  const strips: { rollId: string; startMm: Mm; endMm: Mm; bands: RollBand[] }[] = [];
  for (const band of use.bands) {
    const strip = strips.at(-1);
    const joined = strip ? band.endMm - strip.startMm : Number.POSITIVE_INFINITY;
    const isShort =
      sentLength(joined, rules) <= rules.longestPrintMm + LENGTH_TOLERANCE_MM &&
      joined <= longestPageMm + LENGTH_TOLERANCE_MM;
    if (strip && isShort) {
      strip.bands.push(band);
      strip.endMm = band.endMm;
    } else {
      strips.push({ rollId: use.rollId, startMm: band.startMm, endMm: band.endMm, bands: [band] });
    }
  }
  return strips;
}

/** Where the knife goes: first across the whole roll, then lengthwise within a band. */
export interface CutLines {
  readonly acrossAtMm: readonly Mm[];
  readonly lengthwise: readonly { readonly xMm: Mm; readonly fromMm: Mm; readonly toMm: Mm }[];
}

/** Cuts through the middle of each gap between the panels of a roll or a strip. */
export function cutLines(bands: readonly RollBand[]): CutLines {
  const acrossAtMm = bands.slice(1).map((band, index) => (bands[index]!.endMm + band.startMm) / 2);
  const lengthwise = bands.flatMap((band) =>
    band.panels.slice(1).map((panel, index) => ({
      xMm: (placedRight(band.panels[index]!) + panel.place.xMm) / 2,
      fromMm: band.startMm,
      toMm: band.endMm,
    })),
  );
  return { acrossAtMm, lengthwise };
}
