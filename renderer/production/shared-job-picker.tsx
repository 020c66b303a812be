/** Another job of the archive for a shared roll plan. */
import { useEffect, useState } from 'preact/hooks';
import { MOST_SHARED_JOBS } from '../../core/production/shared-roll-record.ts';
import { Button } from '../parts/button.tsx';
import { Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { changeFilter, jobs, readJobList } from '../state/job-list.ts';
import { showScreen } from '../state/route.ts';

export function SharedJobPicker({ chosenIds }: { readonly chosenIds: readonly string[] }) {
  const [picked, setPicked] = useState('');
  useEffect(() => {
    if (jobs.value) void readJobList();
    else changeFilter({});
  }, []);
  const free = (jobs.value ?? []).filter(({ id }) => !chosenIds.includes(id));
  if (free.length === 0 || chosenIds.length >= MOST_SHARED_JOBS) return null;
  const id = free.some((job) => job.id === picked) ? picked : free[0]!.id;
  return (
    <Section title="Another job">
      <SelectField
        label="Job of the archive"
        value={id}
        options={free.map((job) => ({
          value: job.id,
          label: [job.number, job.name, job.customer].filter((word) => word !== '').join(' · '),
        }))}
        onChange={setPicked}
      />
      <div class="buttons">
        <Button onClick={() => showScreen({ screen: 'shared-rolls', jobIds: [...chosenIds, id] })}>
          Add it to the rolls
        </Button>
      </div>
    </Section>
  );
}
