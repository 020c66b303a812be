/** Shared roll plans that are kept in the archive, to be opened again or forgotten. */
import type { SharedRollRecord } from '../../core/production/shared-roll-record.ts';
import { Button } from '../parts/button.tsx';
import { addressFromRoute } from '../state/route.ts';
import { forgetShopItem, shopItems } from '../state/shop.ts';

/** `jobId`: only plans in which this job lies. */
export function SharedPlanList({ jobId }: { readonly jobId?: string }) {
  const plans = shopItems.value.sharedRolls.filter(
    ({ jobs }) => jobId === undefined || jobs.some(({ id }) => id === jobId),
  );
  if (plans.length === 0) return null;
  return (
    <ul class="shared-plans">
      {plans.map((plan) => (
        <SharedPlan key={plan.id} plan={plan} />
      ))}
    </ul>
  );
}

function SharedPlan({ plan }: { readonly plan: SharedRollRecord }) {
  const marks = plan.jobs.map(({ mark }) => mark).join(', ');
  const jobIds = plan.jobs.map(({ id }) => id);
  const panels = plan.jobs.reduce((sum, job) => sum + job.panels.length, 0);
  return (
    <li>
      <a href={addressFromRoute({ screen: 'shared-rolls', jobIds, nesting: plan.id })}>{marks}</a>
      <span class="quiet">
        {plan.film}, {panels} panels, {plan.locked.length} locked
      </span>
      <Button
        title={`Delete the shared nesting of ${marks}`}
        onClick={() => forgetShopItem({ kind: 'shared-rolls', value: plan })}
      >
        Delete
      </Button>
    </li>
  );
}
