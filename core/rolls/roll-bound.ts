import { z } from 'zod';
import { mmSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { nestBounds } from '../nesting/nest-bounds.ts';
import type { PackItem, RollRules, RollStock } from '../shop/rolls.ts';
import { rollPrintLength, rollPrintWidth, sizeOnRoll } from './roll-lengths.ts';
import { directionsOf, fitsAcross } from './roll-problem.ts';

/** No plan of these panels on these rolls that keeps the rules uses less film. */
export const RollBound = z.strictObject({ lengthMm: mmSchema, areaMm2: z.number() });
export type RollBound = z.infer<typeof RollBound>;

const MOST_COMBINATIONS = 64;

/**
 * A bound on the film used, lead-ins and tails included: no shorter than areas and widths of the panels demand,
 * on no fewer rolls than that length needs. Locked panels count in the direction in which they lie.
 */
export function rollBound(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
): RollBound {
  if (items.length === 0 || rolls.length === 0) return { lengthMm: 0, areaMm2: 0 };
  const widest = Math.max(...rolls.map(rollPrintWidth));
  const bandsLength = leastBandsLength(items, rolls, widest, rules);
  const lengthMm = bandsLength + leastOverhead(bandsLength, rolls, rules.gapMm);
  const panelArea = items.reduce((sum, item) => sum + item.widthMm * item.lengthMm, 0);
  const narrowest = Math.min(...rolls.map((roll) => roll.widthMm));
  const leastFilmPerPrint = Math.min(...rolls.map((roll) => roll.widthMm / rollPrintWidth(roll)));
  return { lengthMm, areaMm2: Math.max(lengthMm * narrowest, panelArea * leastFilmPerPrint) };
}

/** The least Σ (length + gap) of bands over all directions that the panels may print in. */
function leastBandsLength(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  widest: Mm,
  rules: RollRules,
): Mm {
  const units = rules.sideInOneDirection
    ? [...Map.groupBy(items, (item) => item.sideId).values()]
    : items.map((item) => [item]);
  const directions = units.map((unit) => directionsOfUnit(unit, rolls));
  const combinations = directions.reduce((product, options) => product * options.length, 1);
  const { gapMm } = rules;
  if (combinations > MOST_COMBINATIONS) return leastByUnits(units, directions, widest, gapMm);
  let least = Number.POSITIVE_INFINITY;
  for (let combination = 0; combination < combinations; combination++) {
    let rest = combination;
    const pieces = units.flatMap((unit, index) => {
      const options = directions[index]!;
      const turned = options[rest % options.length]!;
      rest = Math.floor(rest / options.length);
      return unit.map((item) => {
        const { across, along } = sizeOnRoll(item, turned);
        return { width: Math.min(across, widest) + gapMm, height: along + gapMm };
      });
    });
    least = Math.min(least, nestBounds(pieces, widest + gapMm).best);
  }
  return least;
}

/**
 * For more combinations than are tried, each unit takes the direction that suits it best. Weights make that a bound:
 * those of panels that fit beside each other never add up to more than 1, so the film is no shorter than their weighted
 * lengths. With limit a, a panel wider than W − a weighs 1, one narrower than a nothing, others their
 * share of the width W; a = 0 is the bound by area.
 */
function leastByUnits(
  units: readonly (readonly PackItem[])[],
  directions: readonly (readonly boolean[])[],
  widest: Mm,
  gapMm: Mm,
): Mm {
  const width = widest + gapMm;
  const ways = units.map((unit, index) =>
    directions[index]!.map((turned) =>
      unit.map((item) => {
        const { across, along } = sizeOnRoll(item, turned);
        return { across: across + gapMm, along: along + gapMm };
      }),
    ),
  );
  const limits = new Set([0, width / 2, ...ways.flat(2).map(({ across }) => across)]);
  const least = (limit: Mm) =>
    ways.reduce((sum, options) => sum + Math.min(...options.map((sizes) => weighed(sizes, limit, width))), 0);
  return Math.max(...[...limits].filter((limit) => limit <= width / 2).map(least));
}

function weighed(sizes: readonly { readonly across: Mm; readonly along: Mm }[], limit: Mm, width: Mm): Mm {
  return sizes.reduce((sum, { across, along }) => {
    if (across > width - limit + LENGTH_TOLERANCE_MM) return sum + along;
    return across < limit ? sum : sum + (along * across) / width;
  }, 0);
}

function directionsOfUnit(unit: readonly PackItem[], rolls: readonly RollStock[]): readonly boolean[] {
  const locked = unit.find((item) => item.locked)?.locked;
  if (locked) return [locked.turned];
  const suits = [false, true].filter((turned) =>
    unit.every(
      (item) =>
        directionsOf(item).includes(turned) &&
        rolls.some((roll) => fitsAcross(sizeOnRoll(item, turned), roll)),
    ),
  );
  return suits.length > 0 ? suits : [false, true];
}

/** Lead-in and tail of the fewest rolls that hold bands of this total length, less the gap after each last band. */
function leastOverhead(bandsLength: Mm, rolls: readonly RollStock[], gapMm: Mm): Mm {
  const rooms = rolls.map((roll) => rollPrintLength(roll) + gapMm).sort((a, b) => b - a);
  const overheads = rolls.map((roll) => roll.leadInMm + roll.tailMm - gapMm).sort((a, b) => a - b);
  let room = 0;
  let fewest = 0;
  while (fewest < rolls.length && room < bandsLength) room += rooms[fewest++]!;
  let least = Number.POSITIVE_INFINITY;
  for (let count = Math.max(1, fewest); count <= rolls.length; count++) {
    least = Math.min(
      least,
      overheads.slice(0, count).reduce((sum, overhead) => sum + overhead, 0),
    );
  }
  return least;
}
