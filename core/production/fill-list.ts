/** The fill list of a film on the rolls of its nesting, see core/rolls/fill-plan.ts. */
import type { Job } from '../job/schema.ts';
import { foundIn } from '../measure/present.ts';
import { type FillPlan, fillItemId, fillPlan, usesWithFill } from '../rolls/fill-plan.ts';
import type { RollPlan } from '../rolls/roll-plan.ts';
import type { PlacedPanel, RollUse } from '../rolls/roll-use.ts';
import type { FillItem } from '../shop/fill-item.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import type { RollRules, RollStock } from '../shop/rolls.ts';

interface Nested {
  readonly plan: RollPlan;
  readonly rolls: readonly RollStock[];
  readonly rules: RollRules;
  readonly settings: Pick<ProductionSettings, 'fill'>;
}

export const filmFill = ({ plan, rolls, rules, settings }: Nested): FillPlan =>
  fillPlan(plan.uses, rolls, rules, settings.fill ?? []);

/** The item of the list that a piece on a roll is of. */
export const fillItemOf = ({ settings }: Pick<Nested, 'settings'>, { item }: PlacedPanel): FillItem => {
  const id = fillItemId(item.panelId);
  return foundIn(settings.fill ?? [], (each) => each.id === id);
};

/** With all pieces that lie in the waste, to draw and to cut apart. */
export const filledUses = (production: Nested): readonly RollUse[] =>
  usesWithFill(production.plan.uses, production.rolls, filmFill(production).placed);

/**
 * With the pieces that a strip can print: those cut from the artwork of the job, for pages of another may blend in other
 * ways and have other layers.
 */
export function stripUses(job: Job, production: Nested): readonly RollUse[] {
  const printed = filmFill(production).placed.filter((piece) =>
    isOnStrip(job, fillItemOf(production, piece)),
  );
  return usesWithFill(production.plan.uses, production.rolls, printed);
}

/** Keeps FL5. */
export const isOnStrip = ({ artwork, output }: Job, { source }: FillItem): boolean =>
  output.files === 'strips' && source !== undefined && source.artworkSha256 === artwork?.sha256;
