import { itemAt } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { cutLines } from '../rolls/print-strips.ts';
import type { RollBand, RollUse } from '../rolls/roll-use.ts';
import type { RollStock } from '../shop/rolls.ts';

export interface RollOnPlan {
  readonly roll: RollStock;
  readonly use: RollUse;
}

/** A stretch of a roll drawn in one row. It begins and ends at cross cuts, so that no panel is divided. */
export interface RollRow extends RollOnPlan {
  readonly fromMm: Mm;
  readonly toMm: Mm;
  readonly bands: readonly RollBand[];
  readonly isFirst: boolean;
  readonly isLast: boolean;
}

/**
 * The used film of a roll in the fewest rows of at most `longestMm`; undefined where the distance between two cross
 * cuts is longer.
 */
export function rollRows({ roll, use }: RollOnPlan, longestMm: Mm): RollRow[] | undefined {
  const edges = [0, ...cutLines(use.bands, roll.widthMm).acrossAtMm, use.usedLengthMm];
  const rows: { fromMm: Mm; toMm: Mm; bands: RollBand[] }[] = [];
  for (const [index, band] of use.bands.entries()) {
    const [fromMm, toMm] = [itemAt(edges, index), itemAt(edges, index + 1)];
    if (toMm - fromMm > longestMm + LENGTH_TOLERANCE_MM) return undefined;
    const row = rows.at(-1);
    if (row && toMm - row.fromMm <= longestMm + LENGTH_TOLERANCE_MM) {
      row.bands.push(band);
      row.toMm = toMm;
    } else {
      rows.push({ fromMm, toMm, bands: [band] });
    }
  }
  return rows.map((row, index) => ({
    ...row,
    roll,
    use,
    isFirst: index === 0,
    isLast: index === rows.length - 1,
  }));
}
