/**
 * Nests published strip-packing instances with the planner of rolls and says how far above the least height by
 * straight cuts each plan is: `npm run bench pack [-- file]`. That height is the verified optimum where there is one,
 * else a bound for straight cuts, else the best bound of packings that need none (`bound of packings`), which cuts may
 * not be able to meet. Every plan is checked before it counts.
 */
import { rollPlan } from '../../core/rolls/roll-plan.ts';
import { panelsLeftJoined } from '../support/cut-check.ts';
import { rollPlanFaults } from '../support/roll-plan-faults.ts';
import {
  leastGuillotineHeight,
  rollCaseFromStrip,
  stripInstancesFromFile,
} from '../support/strip-instances.ts';

export function run(args: string[]): void {
  const results = stripInstancesFromFile(args[0]).map((instance) => {
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
    const least = leastGuillotineHeight(instance);
    const gap = plan.filmUsedMm / least.height - 1;
    console.log(
      [
        instance.name.padEnd(8),
        `${items.length} items`.padStart(10),
        `height ${plan.filmUsedMm}`.padStart(12),
        `${least.kind} ${least.height}`.padStart(22),
        `gap ${(100 * gap).toFixed(2)} %`.padStart(11),
        `${seconds.toFixed(2)} s`.padStart(8),
      ].join('  '),
    );
    return { gap, seconds };
  });
  const gaps = results.map((result) => result.gap);
  console.log(
    JSON.stringify({
      meanGap: rounded(gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length),
      worstGap: rounded(Math.max(...gaps)),
      worstSeconds: rounded(Math.max(...results.map((result) => result.seconds))),
    }),
  );
}

const rounded = (value: number): number => Math.round(value * 1e5) / 1e5;
