/** The jobs that were opened last: a line above the list, and a dialog that a key opens from everywhere. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { JOB_PROGRESS_NAMES } from '../../core/output/job-progress.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { closeRecentJobs } from '../state/dialogs.ts';
import { type JobSummary, jobList } from '../state/job-list.ts';
import { showProblem } from '../state/notices.ts';
import { job as openedJob } from '../state/open-job.ts';
import { addressFromRoute, showScreen } from '../state/route.ts';

function useRecentJobs(again: unknown): readonly JobSummary[] | undefined {
  const [jobs, setJobs] = useState<readonly JobSummary[]>();
  useEffect(() => {
    let isLeft = false;
    void ask('job:recent', {}).then((answer) => {
      if (isLeft) return;
      if (answer.ok) setJobs(answer.value);
      else showProblem(answer.problem);
    });
    return () => {
      isLeft = true;
    };
  }, [again]);
  return jobs;
}

export function RecentJobs() {
  // A job may have been deleted.
  const jobs = useRecentJobs(jobList.value?.total);
  if (!jobs || jobs.length === 0) return null;
  return (
    <nav class="jobs-recent" aria-label="Recent jobs">
      <span class="quiet">Recent</span>
      {jobs.map(({ id, number, name }) => (
        <a key={id} href={addressFromRoute({ screen: 'bench', jobId: id })} title={name}>
          {number}
        </a>
      ))}
    </nav>
  );
}

export function RecentJobsDialog() {
  const jobs = useRecentJobs(undefined)?.filter(({ id }) => id !== openedJob.value?.id);
  return (
    <Dialog title="Recent jobs" onClose={closeRecentJobs}>
      <RecentList jobs={jobs} />
      <div class="dialog-actions">
        <Button onClick={closeRecentJobs}>Close</Button>
      </div>
    </Dialog>
  );
}

function RecentList({ jobs }: { readonly jobs: readonly JobSummary[] | undefined }) {
  const list = useRef<HTMLUListElement>(null);
  // Enter opens the latest.
  useEffect(() => list.current?.querySelector('button')?.focus(), [jobs === undefined]);
  if (!jobs) return <p role="status">Reading the archive…</p>;
  if (jobs.length === 0) return <p>No other job was opened yet.</p>;
  return (
    <ul
      ref={list}
      class="recent-list"
      onKeyDown={(event) => {
        const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
        if (step === undefined) return;
        const buttons = [...event.currentTarget.querySelectorAll('button')];
        const here = buttons.indexOf(document.activeElement as HTMLButtonElement);
        buttons[(here + step + buttons.length) % buttons.length]?.focus();
        event.preventDefault();
      }}
    >
      {jobs.map(({ id, number, name, customer, progress }) => (
        <li key={id}>
          <button
            type="button"
            class="recent-job"
            onClick={() => {
              closeRecentJobs();
              showScreen({ screen: 'bench', jobId: id });
            }}
          >
            <strong>{number}</strong> <span>{name}</span>
            <span class="quiet">{[customer, JOB_PROGRESS_NAMES[progress]].filter(Boolean).join(' · ')}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}
