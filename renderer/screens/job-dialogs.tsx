import { useRef, useState } from 'preact/hooks';
import { firstOf } from '../../core/measure/present.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { openVehicleSides } from '../state/dialogs.ts';
import { createJob, type JobSummary, readJobList } from '../state/job-list.ts';
import { showProblem } from '../state/notices.ts';
import { showScreen } from '../state/route.ts';

const NEW_JOB_FIELDS = [
  { key: 'number', label: 'Job number', problem: 'Enter a number that no other job has.' },
  {
    key: 'name',
    label: 'Job',
    problem: 'Enter what the job is.',
    hint: 'What it is, such as “Bookmobile wrap”',
  },
  { key: 'customer', label: 'Customer', problem: 'Enter who the job is for.' },
] as const;

/** Asks for what every sheet will carry; the rest is entered on the bench. */
export function NewJobDialog({ onClose }: { onClose(): void }) {
  const [given, setGiven] = useState({ number: '', name: '', customer: '' });
  const [isAsked, setAsked] = useState(false);
  const [begins, setBegins] = useState<'artwork' | 'vehicle'>('artwork');
  const form = useRef<HTMLFormElement>(null);
  const missing = NEW_JOB_FIELDS.filter(({ key }) => given[key].trim() === '');
  const create = async () => {
    const id = await createJob(given);
    if (id === undefined) return;
    onClose();
    showScreen({ screen: 'bench', jobId: id });
    if (begins === 'vehicle') openVehicleSides();
  };
  return (
    <Dialog title="New job" onClose={onClose}>
      <form
        ref={form}
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          if (missing.length === 0) return void create();
          setAsked(true);
          const at = NEW_JOB_FIELDS.indexOf(firstOf(missing));
          form.current?.querySelectorAll('input')[at]?.focus();
        }}
      >
        {NEW_JOB_FIELDS.map((field) => (
          <TextField
            key={field.key}
            label={field.label}
            value={given[field.key]}
            onInput={(text) => setGiven({ ...given, [field.key]: text })}
            onChange={(text) => setGiven({ ...given, [field.key]: text })}
            problem={isAsked && missing.includes(field) ? field.problem : undefined}
            {...('hint' in field && { hint: field.hint })}
          />
        ))}
        <Choice<'artwork' | 'vehicle'>
          label="Begin with"
          value={begins}
          options={[
            { value: 'artwork', label: 'The artwork' },
            { value: 'vehicle', label: 'The vehicle, artwork later' },
          ]}
          onChange={setBegins}
        />
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          <Button isPrimary isSubmit>
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
          hint="Artwork, sides and seams are taken over; acknowledgements, signature and history are not."
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

/** The last progress of a job, and the only one that is entered by hand. */
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
