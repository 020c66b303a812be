import highsLoader from 'highs';
import type { PackItem, RollRules, RollStock } from '../../core/shop/rolls.ts';

/**
 * The least film area for panels on rolls by a general mixed-integer solver (HiGHS), written apart from the planner.
 * A panel lies in a band, which is known by the first of its panels; of two in one band, one lies to the left of the
 * other or before it. Such relations describe every rectangle packing; where those of a solution have no cuts from
 * edge to edge, they are forbidden and the solver is asked again. Undefined where the panels do not fit. Rolls without
 * locked panels only.
 */
export async function leastFilmAreaByMip(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
): Promise<number | undefined> {
  const highs = await highsLoader();
  const forbidden: string[][] = [];
  for (;;) {
    const solution = highs.solve(modelText(items, rolls, rules, forbidden), {
      mip_rel_gap: 0,
      mip_abs_gap: 0,
    });
    if (solution.Status === 'Infeasible') return undefined;
    if (solution.Status !== 'Optimal') throw new Error(`The solver stopped with ${solution.Status}.`);
    const isOn = (name: string): boolean => (solution.Columns[name]?.Primal ?? 0) > 0.5;
    const uncut = relationsWithoutCuts(items.length, rolls.length, isOn);
    if (uncut.length === 0) return solution.ObjectiveValue;
    forbidden.push(uncut);
  }
}

const WAYS = ['l', 'r', 'b', 'a'] as const;

/** The relations of the panels of one band that straight cuts do not part; none where all bands can be cut. */
function relationsWithoutCuts(panels: number, rolls: number, isOn: (name: string) => boolean): string[] {
  const indices = Array.from({ length: panels }, (_, index) => index);
  for (let roll = 0; roll < rolls; roll++) {
    for (const band of indices) {
      const members = indices.filter((panel) => panel >= band && isOn(inBand(panel, band, roll)));
      const wayOf = (i: number, j: number): string => {
        const way = WAYS.find((each) => isOn(relation(Math.min(i, j), Math.max(i, j), each)))!;
        return i < j ? way : { l: 'r', r: 'l', b: 'a', a: 'b' }[way];
      };
      if (isCuttable(members, wayOf)) continue;
      return members.flatMap((i) =>
        members.filter((j) => j > i).map((j) => relation(i, j, wayOf(i, j) as (typeof WAYS)[number])),
      );
    }
  }
  return [];
}

/** Whether some of the panels lie all on one side of all others, and so on in both parts. */
function isCuttable(members: readonly number[], wayOf: (i: number, j: number) => string): boolean {
  if (members.length < 2) return true;
  for (let bits = 1; bits < 2 ** members.length - 1; bits++) {
    const first = members.filter((_, index) => (bits >> index) % 2 === 1);
    const second = members.filter((_, index) => (bits >> index) % 2 === 0);
    for (const way of ['l', 'b']) {
      const isApart = first.every((i) => second.every((j) => wayOf(i, j) === way));
      if (isApart) return isCuttable(first, wayOf) && isCuttable(second, wayOf);
    }
  }
  return false;
}

const inBand = (panel: number, band: number, roll: number): string => `m${panel}_${band}_${roll}`;
/** `i` lies to the left of `j`, right of it, before it or after it. */
const relation = (i: number, j: number, way: (typeof WAYS)[number]): string => `${way}${i}_${j}`;

function modelText(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  forbidden: readonly (readonly string[])[],
): string {
  const gap = rules.gapMm;
  const longest = rules.longestPrintMm / (1 + rules.feedCompensationPercent / 100);
  const sides = [...new Set(items.map((item) => item.sideId))];
  const widths = rolls.map((roll) => roll.widthMm - roll.leftMarginMm - roll.rightMarginMm);
  const most = Math.min(
    longest,
    items.reduce((sum, item) => sum + Math.max(item.widthMm, item.lengthMm) + gap, 0),
  );
  const widest = Math.max(...widths);
  /** More than any two panels that need not keep apart can be. */
  const big =
    Math.max(most, widest) + Math.max(...items.map((item) => Math.max(item.widthMm, item.lengthMm))) + gap;
  const objective: string[] = [];
  const rows: string[] = [];
  const binaries: string[] = [];
  const bounds: string[] = [];
  // Across = widthMm, or lengthMm where turned (t = 1); along the other way round.
  const across = (panel: number, factor: number): string => {
    const { widthMm, lengthMm } = items[panel]!;
    return `${term(factor * (lengthMm - widthMm), `t${panel}`)}`;
  };
  items.forEach((item, i) => {
    binaries.push(`t${i}`);
    bounds.push(` 0 <= x${i} <= ${widest}`, ` 0 <= y${i} <= ${most}`);
    if (!item.mayTurn) rows.push(`t${i} = 0`);
    const mate = items.findIndex(({ sideId }) => sideId === item.sideId);
    if (rules.sideInOneDirection && mate < i) rows.push(`t${i} - t${mate} = 0`);
    const choices: string[] = [];
    rolls.forEach((_, r) => {
      for (let b = 0; b <= i; b++) {
        const name = inBand(i, b, r);
        binaries.push(name);
        choices.push(name);
        if (b < i) rows.push(`${name} - ${inBand(b, b, r)} <= 0`);
        // x + across <= width of the roll; y + along <= length of the band.
        rows.push(
          `x${i} ${across(i, 1)} ${term(big, name)} <= ${widths[r]! + big - item.widthMm}`,
          `y${i} ${across(i, -1)} - h${b}_${r} ${term(big, name)} <= ${big - item.lengthMm}`,
        );
      }
      if (rules.sideOnOneRoll) {
        const z = `z${sides.indexOf(item.sideId)}_${r}`;
        const on = Array.from({ length: i + 1 }, (_none, b) => inBand(i, b, r));
        rows.push(`${on.join(' + ')} - ${z} = 0`);
        if (mate === i) binaries.push(z);
      }
    });
    rows.push(`${choices.join(' + ')} = 1`);
  });
  for (let i = 0; i < items.length; i++) {
    for (let j = i + 1; j < items.length; j++) {
      const [l, r, b, a] = WAYS.map((way) => relation(i, j, way)) as [string, string, string, string];
      binaries.push(l, r, b, a);
      const { widthMm: wi, lengthMm: hi } = items[i]!;
      const { widthMm: wj, lengthMm: hj } = items[j]!;
      rows.push(
        `x${i} - x${j} ${across(i, 1)} ${term(big, l)} <= ${big - wi - gap}`,
        `x${j} - x${i} ${across(j, 1)} ${term(big, r)} <= ${big - wj - gap}`,
        `y${i} - y${j} ${across(i, -1)} ${term(big, b)} <= ${big - hi - gap}`,
        `y${j} - y${i} ${across(j, -1)} ${term(big, a)} <= ${big - hj - gap}`,
      );
      rolls.forEach((_, roll) => {
        for (let band = 0; band <= i; band++) {
          rows.push(
            `${[l, r, b, a].join(' + ')} - ${inBand(i, band, roll)} - ${inBand(j, band, roll)} >= -1`,
          );
        }
      });
      rows.push(`${[l, r, b, a].join(' + ')} <= 1`);
    }
  }
  rolls.forEach((roll, r) => {
    objective.push(term(roll.widthMm * (roll.leadInMm + roll.tailMm - gap), `u${r}`));
    binaries.push(`u${r}`);
    const lengths: string[] = [];
    items.forEach((_, b) => {
      const begins = inBand(b, b, r);
      bounds.push(` 0 <= h${b}_${r} <= ${longest}`);
      objective.push(term(roll.widthMm, `h${b}_${r}`), term(roll.widthMm * gap, begins));
      lengths.push(`+ h${b}_${r} ${term(gap, begins)}`);
      rows.push(`${begins} - u${r} <= 0`);
    });
    const room = roll.usableLengthMm - roll.leadInMm - roll.tailMm + gap;
    rows.push(`${lengths.join(' ')} ${term(-room, `u${r}`)} <= 0`);
  });
  for (const some of forbidden) rows.push(`${some.join(' + ')} <= ${some.length - 1}`);
  return [
    'Minimize',
    ` obj: ${objective.join(' ')}`,
    'Subject To',
    ...rows.map((row, index) => ` c${index}: ${row}`),
    'Bounds',
    ...bounds,
    'Binary',
    ` ${binaries.join(' ')}`,
    'End',
  ].join('\n');
}

const term = (factor: number, name: string): string =>
  `${factor < 0 ? '-' : '+'} ${Math.abs(factor)} ${name}`;
