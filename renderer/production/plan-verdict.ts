/** How good a roll plan is, in words that claim no more than the bound proves. */
import { filmLengthText } from '../../core/measure/long-length.ts';
import type { RollPlan } from '../../core/rolls/roll-plan.ts';
import type { RollStock } from '../../core/shop/rolls.ts';
import { areaText, metersText } from '../parts/quantity-text.ts';

/** Film is compared by length where all rolls in use are equally wide, else by area. */
export function filmText(
  film: { readonly lengthMm: number; readonly areaMm2: number },
  rolls: readonly RollStock[],
  unit: 'mm' | 'in',
): string {
  const widths = new Set(rolls.map(({ widthMm }) => widthMm));
  if (widths.size > 1) return areaText(film.areaMm2 / 1e6, unit);
  return unit === 'mm' ? metersText(film.lengthMm / 1000, unit) : filmLengthText(film.lengthMm, unit);
}

export function planVerdict(
  plan: Pick<
    RollPlan,
    'filmUsedMm' | 'filmAreaMm2' | 'bound' | 'distancePercent' | 'isShortest' | 'unplacedPanelIds'
  >,
  rolls: readonly RollStock[],
  unit: 'mm' | 'in',
): string {
  const used = filmText({ lengthMm: plan.filmUsedMm, areaMm2: plan.filmAreaMm2 }, rolls, unit);
  const left = plan.unplacedPanelIds.length;
  const without =
    left === 0 ? '' : ` ${left} ${left === 1 ? 'panel is' : 'panels are'} not nested and not counted.`;
  if (plan.isShortest) return `${used} of film. No nesting within these rules uses less.${without}`;
  const bound = filmText(plan.bound, rolls, unit);
  return `${used} of film. Any nesting within these rules needs at least ${bound}; this one is ${plan.distancePercent.toFixed(1)} % above that bound, and the least possible lies between.${without}`;
}
