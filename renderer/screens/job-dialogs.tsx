import { useState } from 'preact/hooks';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { createJob, type JobSummary, readJobList } from '../state/job-list.ts';
import { showProblem } from '../state/notices.ts';
import { showScreen } from '../state/route.ts';

/** Asks for what every sheet will carry; the rest is entered on the bench. */
export function NewJobDialog({ onClose }: { onClose(): void }) {
  const [given, setGiven] = useState({ number: '', name: '', customer: '' });
  const isComplete = Object.values(given).every((text) => text.trim() !== '');
  const create = async () => {
    const id = await createJob(given);
    if (id === undefined) return;
    onClose();
    showScreen({ screen: 'bench', jobId: id });
  };
  return (
    <Dialog title="New job" onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          if (isComplete) void create();
        }}
      >
        <TextField
          label="Job number"
          value={given.number}
          onInput={(number) => setGiven({ ...given, number })}
          onChange={(number) => setGiven({ ...given, number })}
        />
        <TextField
          label="Job"
          value={given.name}
          onInput={(name) => setGiven({ ...given, name })}
          onChange={(name) => setGiven({ ...given, name })}
          hint="What it is, such as “Bookmobile wrap”"
        />
        <TextField
          label="Customer"
          value={given.customer}
          onInput={(customer) => setGiven({ ...given, customer })}
          onChange={(customer) => setGiven({ ...given, customer })}
        />
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          <Button isPrimary isSubmit isDisabled={!isComplete}>
            Create
          </Button>
        </div>
      </form>
    </Dialog>
  );
}

export function DuplicateDialog({ source, onClose }: { readonly source: JobSummary; onClose(): void }) {
  const [number, setNumber] = useState(`${source.number}-2`);
  const duplicate = async () => {
    const copy = await ask('job:duplicate', { id: source.id, number });
    if (!copy.ok) return showProblem(copy.problem);
    onClose();
    await readJobList();
    showScreen({ screen: 'bench', jobId: copy.value.id });
  };
  return (
    <Dialog title={`Duplicate ${source.number}`} onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          void duplicate();
        }}
      >
        <TextField
          label="Number of the new job"
          value={number}
          onInput={setNumber}
          onChange={setNumber}
          hint="Artwork, sides and seams are taken over; acknowledgements and history are not."
        />
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          <Button isPrimary isSubmit isDisabled={number.trim() === ''}>
            Duplicate
          </Button>
        </div>
      </form>
    </Dialog>
  );
}

/** The last thing that happens to a job, and the only state of it that somebody enters. */
export function InstalledDialog({ job, onClose }: { readonly job: JobSummary; onClose(): void }) {
  const [day, setDay] = useState(job.installedOn ?? localToday());
  const keep = async (on: string | null) => {
    const kept = await ask('job:installed', { id: job.id, on });
    if (!kept.ok) return showProblem(kept.problem);
    onClose();
    await readJobList();
  };
  return (
    <Dialog title={`Installed: ${job.number}`} onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          if (day !== '') void keep(day);
        }}
      >
        <Field label="Day on which the last panel was installed">
          {(ids) => (
            <input
              class="input"
              type="date"
              value={day}
              onInput={(event) => setDay(event.currentTarget.value)}
              {...ids}
            />
          )}
        </Field>
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          {job.installedOn !== null && <Button onClick={() => keep(null)}>Not installed</Button>}
          <Button isPrimary isSubmit isDisabled={day === ''}>
            Keep
          </Button>
        </div>
      </form>
    </Dialog>
  );
}

function localToday(): string {
  const now = new Date();
  const two = (value: number) => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
