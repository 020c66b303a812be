/** Deletes jobs and unused files, after showing what will be deleted. */
import type { ComponentChildren } from 'preact';
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { Deletion } from '../../core/contract/parts.ts';
import { listText } from '../../core/measure/list-text.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { bytesText } from '../parts/quantity-text.ts';
import { closeCleaning } from '../state/dialogs.ts';
import { findJobsOf, type JobSummary, readJobList } from '../state/job-list.ts';
import { showDone, showProblem } from '../state/notices.ts';

const counted = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`;

/** `1 job, 3 outputs and 12 files (48 MB)`, without zero counts. */
const deletionText = ({ jobs, outputs, files, bytes }: Deletion): string =>
  listText([
    ...(jobs > 0 ? [counted(jobs, 'job')] : []),
    ...(outputs > 0 ? [counted(outputs, 'output')] : []),
    ...(files > 0 ? [`${counted(files, 'file')} (${bytesText(bytes)})`] : []),
  ]);

interface QuestionProps {
  readonly title: string;
  /** What would go. */
  readonly find: () => Promise<Result<Deletion, Problem>>;
  readonly remove: () => Promise<Result<Deletion, Problem>>;
  readonly nothing: string;
  onClose(): void;
  /** A choice of what is meant. */
  readonly children?: ComponentChildren;
}

function DeletionQuestion({ title, find, remove, nothing, onClose, children }: QuestionProps) {
  const [found, setFound] = useState<Deletion>();
  useEffect(() => {
    let isLeft = false;
    setFound(undefined);
    void find().then((answer) => {
      if (isLeft) return;
      if (answer.ok) return setFound(answer.value);
      showProblem(answer.problem);
      onClose();
    });
    return () => {
      isLeft = true;
    };
  }, [find]);
  const isNothing = found !== undefined && found.jobs === 0 && found.files === 0;
  const confirm = async () => {
    const removed = await remove();
    onClose();
    if (!removed.ok) return showProblem(removed.problem);
    showDone(`Deleted: ${deletionText(removed.value)}.`);
    await readJobList();
  };
  return (
    <Dialog title={title} onClose={onClose}>
      {children}
      <p role="status">
        {found === undefined
          ? 'Looking up what will go…'
          : isNothing
            ? nothing
            : `This deletes for good: ${deletionText(found)}.`}
      </p>
      <p class="quiet">
        Written panels and sheets outside the archive stay. A file that came in within the last hour stays for
        now.
      </p>
      <form
        class="dialog-actions"
        onSubmit={(event) => {
          event.preventDefault();
          void confirm();
        }}
      >
        <Button isSafe onClick={onClose}>
          Cancel
        </Button>
        <Button isPrimary isSubmit isDisabled={found === undefined || isNothing}>
          Delete
        </Button>
      </form>
    </Dialog>
  );
}

/** Asks about one job, or all of its customer. */
export function DeleteJobDialog({ job, onClose }: { readonly job: JobSummary; onClose(): void }) {
  const [which, setWhich] = useState<'job' | 'customer'>('job');
  const act = (verb: 'job:deletion' | 'job:delete') => async () => {
    const ids = which === 'job' ? { ok: true as const, value: [job.id] } : await findJobsOf(job.customer);
    return ids.ok ? await ask(verb, { ids: ids.value }) : ids;
  };
  const [find, remove] = useMemo(() => [act('job:deletion'), act('job:delete')], [which]);
  return (
    <DeletionQuestion
      title={which === 'job' ? `Delete job ${job.number}` : `Delete all jobs of ${job.customer}`}
      find={find}
      remove={remove}
      nothing="Nothing is left to delete."
      onClose={onClose}
    >
      {job.customer !== '' && (
        <Choice<'job' | 'customer'>
          label="What to delete"
          value={which}
          options={[
            { value: 'job', label: `Job ${job.number}` },
            { value: 'customer', label: `All jobs of ${job.customer}` },
          ]}
          onChange={setWhich}
        />
      )}
    </DeletionQuestion>
  );
}

const findUnused = async () => await ask('archive:unused', {});
const clean = async () => await ask('archive:clean', {});

export function CleanVaultDialog() {
  return (
    <DeletionQuestion
      title="Clean the vault"
      find={findUnused}
      remove={clean}
      nothing="Every file of the vault belongs to a job or an output."
      onClose={closeCleaning}
    />
  );
}
