/**
 * Nests published strip-packing instances with the planner of rolls and says how far above the least height by
 * straight cuts each plan is: `npm run bench pack [-- file]`. That height is the verified optimum where there is one,
 * else a bound for straight cuts, else the best bound of packings that need none (`bound of packings`), which cuts may
 * not be able to meet. Then strips that were cut at random and that the nester was not tuned on, whose optimum is known.
 * Every plan is checked before it counts.
 */
import { rollPlan } from '../../core/rolls/roll-plan.ts';
import { panelsLeftJoined } from '../support/cut-check.ts';
import { rollPlanFaults } from '../support/roll-plan-faults.ts';
import { slicedStrips } from '../support/sliced-strips.ts';
import {
  leastGuillotineHeight,
  rollCaseFromStrip,
  type StripInstance,
  stripInstancesFromFile,
} from '../support/strip-instances.ts';

export function run(args: string[]): void {
  const published = stripInstancesFromFile(args[0]).map((instance) =>
    nested(instance, leastGuillotineHeight(instance)),
  );
  const heldOut = [1, 2, 3]
    .flatMap(slicedStrips)
    .map((instance) => nested(instance, { height: instance.optimalHeight, kind: 'optimum' }));
  console.log(
    JSON.stringify({
      meanGap: meanGap(published),
      worstGap: worstGap(published),
      heldOutMeanGap: meanGap(heldOut),
      heldOutWorstGap: worstGap(heldOut),
      worstSeconds: rounded(Math.max(...[...published, ...heldOut].map(({ seconds }) => seconds))),
    }),
  );
}

interface Nested {
  readonly gap: number;
  readonly seconds: number;
}

function nested(instance: StripInstance, least: { readonly height: number; readonly kind: string }): Nested {
  const { items, rolls, rules } = rollCaseFromStrip(instance.items, instance.stripWidth);
  const start = performance.now();
  const plan = rollPlan(items, rolls, rules);
  const seconds = (performance.now() - start) / 1000;
  const faults = [
    ...plan.unplacedPanelIds.map((id) => `${id} is left out.`),
    ...rollPlanFaults(items, rolls, rules, plan.placements),
    ...panelsLeftJoined(items, plan.placements).map((id) => `${id} cannot be cut off.`),
  ];
  if (faults.length > 0) throw new Error(`${instance.name}: ${faults.join(' ')}`);
  const gap = plan.filmUsedMm / least.height - 1;
  console.log(
    [
      instance.name.padEnd(9),
      `${items.length} items`.padStart(10),
      `height ${plan.filmUsedMm}`.padStart(12),
      `${least.kind} ${least.height}`.padStart(22),
      `gap ${(100 * gap).toFixed(2)} %`.padStart(11),
      `${seconds.toFixed(2)} s`.padStart(8),
    ].join('  '),
  );
  return { gap, seconds };
}

const meanGap = (all: readonly Nested[]): number =>
  rounded(all.reduce((sum, { gap }) => sum + gap, 0) / all.length);
const worstGap = (all: readonly Nested[]): number => rounded(Math.max(...all.map(({ gap }) => gap)));
const rounded = (value: number): number => Math.round(value * 1e5) / 1e5;
