/** Another job of the archive for a shared roll plan. */
import { useEffect, useState } from 'preact/hooks';
import { MOST_SHARED_JOBS } from '../../core/production/shared-roll-record.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { JobSearchField } from '../parts/job-search-field.tsx';
import { Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import type { JobSummary } from '../state/job-list.ts';
import { showProblem } from '../state/notices.ts';
import { showScreen } from '../state/route.ts';

/** With more jobs than this, the user searches for one. */
const MOST_OFFERED = 50;

export function SharedJobPicker({ chosenIds }: { readonly chosenIds: readonly string[] }) {
  const [text, setText] = useState('');
  const [found, setFound] = useState<readonly JobSummary[]>([]);
  const [picked, setPicked] = useState('');
  useEffect(() => {
    const abort = new AbortController();
    const request = { text, archive: 'active', limit: MOST_OFFERED + MOST_SHARED_JOBS } as const;
    void ask('job:list', request, { signal: abort.signal }).then((answer) => {
      if (abort.signal.aborted) return;
      if (answer.ok) setFound(answer.value.jobs);
      else showProblem(answer.problem);
    });
    return () => abort.abort();
  }, [text]);
  const free = found.filter(({ id }) => !chosenIds.includes(id)).slice(0, MOST_OFFERED);
  if ((free.length === 0 && text === '') || chosenIds.length >= MOST_SHARED_JOBS) return null;
  const id = free.some((job) => job.id === picked) ? picked : free[0]?.id;
  return (
    <Section title="Another job">
      <JobSearchField text={text} onInput={setText} />
      {id === undefined ? (
        <p class="quiet">No job matches. Every word you type must begin a word of the job.</p>
      ) : (
        <>
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
        </>
      )}
    </Section>
  );
}
