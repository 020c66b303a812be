import highsLoader from 'highs';
import type { PackItem, RollRules, RollStock } from '../../core/shop/rolls.ts';

/**
 * The least film area for panels on rolls by a general mixed-integer solver (HiGHS), after the level model of
 * Lodi, Martello and Vigo, 'Models and bounds for two-dimensional level packing problems', Journal of
 * Combinatorial Optimization 8 (2004): each band is begun by its longest panel. Directions are tried one by
 * one. Undefined where the panels do not fit. Rolls without locked panels only.
 */
export async function leastFilmAreaByMip(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
): Promise<number | undefined> {
  const highs = await highsLoader();
  let least: number | undefined;
  for (const directions of directionChoices(items, rules)) {
    const solution = highs.solve(modelText(items, directions, rolls, rules));
    if (solution.Status === 'Infeasible') continue;
    if (solution.Status !== 'Optimal') throw new Error(`The solver stopped with ${solution.Status}.`);
    if (least === undefined || solution.ObjectiveValue < least) least = solution.ObjectiveValue;
  }
  return least;
}

/** Every way to turn panels that the rules allow, one flag per panel. */
function directionChoices(items: readonly PackItem[], rules: RollRules): boolean[][] {
  const units = [
    ...new Set(items.map((item, index) => (rules.sideInOneDirection ? item.sideId : `${index}`))),
  ];
  const choices: boolean[][] = [];
  for (let bits = 0; bits < 2 ** units.length; bits++) {
    const turned = items.map(
      (item, index) => (bits >> units.indexOf(rules.sideInOneDirection ? item.sideId : `${index}`)) % 2 === 1,
    );
    if (items.every((item, index) => item.mayTurn || !turned[index])) choices.push(turned);
  }
  return choices;
}

function modelText(
  items: readonly PackItem[],
  turned: readonly boolean[],
  rolls: readonly RollStock[],
  rules: RollRules,
): string {
  const gap = rules.gapMm;
  const panels = items
    .map((item, index) => ({
      side: item.sideId,
      across: turned[index] ? item.lengthMm : item.widthMm,
      along: turned[index] ? item.widthMm : item.lengthMm,
    }))
    .sort((a, b) => b.along - a.along);
  const sides = [...new Set(panels.map((panel) => panel.side))];
  const objective: string[] = [];
  const rows: string[] = [];
  const binaries: string[] = [];
  rolls.forEach((roll, r) => {
    const width = roll.widthMm - roll.leftMarginMm - roll.rightMarginMm;
    objective.push(term(roll.widthMm * (roll.leadInMm + roll.tailMm - gap), `u${r}`));
    binaries.push(`u${r}`);
    const lengths: string[] = [];
    panels.forEach((first, i) => {
      objective.push(term(roll.widthMm * (first.along + gap), `y${i}_${r}`));
      lengths.push(term(first.along + gap, `y${i}_${r}`));
      binaries.push(`y${i}_${r}`);
      const beside = panels.slice(i + 1).map((panel, k) => {
        const name = `x${i}_${i + 1 + k}_${r}`;
        binaries.push(name);
        return term(panel.across + gap, name);
      });
      rows.push(`${beside.join(' ')} ${term(first.across - width, `y${i}_${r}`)} <= 0`);
      // A panel wider than the film cannot even begin a band.
      if (
        first.across > width ||
        first.along * (1 + rules.feedCompensationPercent / 100) > rules.longestPrintMm
      ) {
        rows.push(`y${i}_${r} = 0`);
        if (first.across > width) for (let j = 0; j < i; j++) rows.push(`x${j}_${i}_${r} = 0`);
      }
    });
    const room = roll.usableLengthMm - roll.leadInMm - roll.tailMm + gap;
    rows.push(`${lengths.join(' ')} ${term(-room, `u${r}`)} <= 0`);
    if (rules.sideOnOneRoll) {
      panels.forEach((panel, j) => {
        rows.push(`${onRoll(j, r)} - z${sides.indexOf(panel.side)}_${r} = 0`);
      });
      for (const s of sides.keys()) binaries.push(`z${s}_${r}`);
    }
  });
  panels.forEach((_, j) => {
    rows.push(`${rolls.map((_roll, r) => onRoll(j, r)).join(' + ')} = 1`);
  });
  return [
    'Minimize',
    ` obj: ${objective.join(' ')}`,
    'Subject To',
    ...rows.map((row, index) => ` c${index}: ${row}`),
    'Binary',
    ` ${binaries.join(' ')}`,
    'End',
  ].join('\n');
}

/** The panel's band choices on a roll: it begins one, or joins one that a longer panel began. */
const onRoll = (panel: number, roll: number): string =>
  [`y${panel}_${roll}`, ...Array.from({ length: panel }, (_, i) => `x${i}_${panel}_${roll}`)].join(' + ');

const term = (factor: number, name: string): string =>
  `${factor < 0 ? '-' : '+'} ${Math.abs(factor)} ${name}`;
