/** Where the job differs from the shop: each difference, with a button to go back to the shop's value. */
import { jobSet } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { type ShopDifference, shopDifferences } from '../../../core/job/shop-differences.ts';
import { Button } from '../../parts/button.tsx';
import { Section } from '../../parts/section.tsx';
import { editJob } from '../../state/open-job.ts';
import { changeShop, shopProfile } from '../../state/shop.ts';

export function ShopSection({ job }: { readonly job: Job }) {
  const differences = shopDifferences(job, shopProfile.value);
  if (differences.length === 0) return null;
  return (
    <Section title="Differs from your shop">
      <ul class="shop-differences">
        {differences.map((difference) => (
          <li key={difference.label}>
            <span>
              <strong>{difference.label}</strong>: {difference.job}.{' '}
              <span class="quiet">Shop: {difference.shop}.</span>
            </span>
            <div class="buttons">
              <Button
                spoken={`${difference.label}: use the shop’s`}
                onClick={() =>
                  setAsShop(
                    `Use the shop’s ${difference.label.charAt(0).toLowerCase()}${difference.label.slice(1)}`,
                    [difference],
                  )
                }
              >
                Use the shop’s
              </Button>
              <Button
                spoken={`${difference.label}: make it the shop’s`}
                title="New jobs begin with it"
                onClick={() => void changeShop(difference.asJob)}
              >
                Make it the shop’s
              </Button>
            </div>
          </li>
        ))}
      </ul>
      {differences.length > 1 && (
        <Button onClick={() => setAsShop('Use all of the shop’s settings', differences)}>
          Use all of the shop’s settings
        </Button>
      )}
    </Section>
  );
}

function setAsShop(label: string, differences: readonly ShopDifference[]): void {
  editJob(label, (job) => {
    let changed: ReturnType<typeof jobSet> = { ok: true, value: job };
    for (const { asShop } of differences) {
      if (!changed.ok) break;
      changed = jobSet(changed.value, { change: asShop(changed.value) });
    }
    return changed;
  });
}
