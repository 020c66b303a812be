/** Missing shop details that sheets print: requested once beside the act, and never again once skipped. */
import { useState } from 'preact/hooks';
import { jobSet } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import type { ShopProfile } from '../../core/job/shop-profile.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { editJob, isReadOnly } from '../state/open-job.ts';
import { changeShop, shopProfile } from '../state/shop.ts';

const FIELDS = [
  { key: 'name', label: 'Name of your shop' },
  { key: 'address', label: 'Address', isMultiline: true },
  { key: 'phone', label: 'Phone' },
  { key: 'preparedBy', label: 'Prepared by' },
] as const;
type Given = Pick<ShopProfile, (typeof FIELDS)[number]['key']>;

export function ShopQuestion({ job }: { readonly job: Job }) {
  const shop = shopProfile.value;
  const [given, setGiven] = useState<Partial<Given>>({});
  const isJobSilent = job.shop === undefined || job.preparedBy.trim() === '';
  const missing = FIELDS.filter(({ key }) => shop[key].trim() === '');
  if (isReadOnly.value || shop.isTitleBlockSkipped || !isJobSilent) return null;
  if (missing.every(({ key }) => key !== 'name' && key !== 'preparedBy')) return null;
  const keep = async () => {
    const { name, address, phone, preparedBy } = { ...shop, ...given };
    // What stays empty now is left empty on purpose.
    if (!(await changeShop({ ...given, isTitleBlockSkipped: true }))) return;
    editJob('Enter the shop on the sheets', (now) =>
      jobSet(now, {
        change: {
          ...(now.shop === undefined && name.trim() !== '' && { shop: { name, address, phone } }),
          ...(now.preparedBy.trim() === '' && { preparedBy }),
        },
      }),
    );
  };
  return (
    <form
      class="fields shop-question"
      aria-labelledby="shop-question"
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <h2 id="shop-question">For the title block of the sheets</h2>
      <p class="quiet">
        Asked once. Without it the sheets leave room to write it; it stands under Shop later.
      </p>
      {missing.map((field) => (
        <TextField
          key={field.key}
          label={field.label}
          value={given[field.key] ?? ''}
          onInput={(text) => setGiven({ ...given, [field.key]: text })}
          onChange={(text) => setGiven({ ...given, [field.key]: text })}
          {...('isMultiline' in field && { isMultiline: true })}
        />
      ))}
      <div class="buttons">
        <Button isSubmit>Save for this and new jobs</Button>
        <Button onClick={() => void changeShop({ isTitleBlockSkipped: true })}>Skip</Button>
      </div>
    </form>
  );
}
