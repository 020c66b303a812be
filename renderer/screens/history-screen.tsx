/** The outputs of this job, and reprinting of panels. */
import { useEffect, useState } from 'preact/hooks';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import { hasSeveralFilms, jobFilms } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import { isFleet, jobUnits } from '../../core/job/vehicles.ts';
import { present } from '../../core/measure/present.ts';
import { offPrinterTime } from '../../core/output/off-printer-time.ts';
import { panelsStanding } from '../../core/output/panels-standing.ts';
import { printsText } from '../../core/output/printed-panels.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { RECORD_FIELDS, type RecordField } from '../../core/output/record-fields.ts';
import { type RecordOf, recordPart, recordWithPart } from '../../core/output/record-parts.ts';
import { reprintWords } from '../../core/output/reprint-words.ts';
import { lotText } from '../../core/shop/stock-text.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { NoteList } from '../parts/panel-notes.tsx';
import { PastTime } from '../parts/past-time.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { VerificationLine } from '../parts/verification-line.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { outputOfNow, outputsCut } from '../state/last-output.ts';
import { notesOfPanel } from '../state/notes.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { job, layouts } from '../state/open-job.ts';
import { showScreen } from '../state/route.ts';
import { workSlot } from '../state/work.ts';
import { JobActualsSection } from './job-actuals.tsx';
import { OutputFiles } from './output-files.tsx';
import { PrintedDialog } from './printed-dialog.tsx';

const work = workSlot();
const verifying = workSlot();

export function HistoryScreen({ job }: { readonly job: Job }) {
  const [outputs, setOutputs] = useState<readonly OutputSummary[]>();
  const read = async () => {
    const listed = await ask('output:list', { jobId: job.id });
    if (listed.ok) setOutputs(listed.value.toReversed());
    else showProblem(listed.problem);
  };
  useEffect(() => void read(), [job.id]);

  if (!outputs) {
    return (
      <div class="waiting">
        <h1>History</h1>
        <p>Reading the history…</p>
      </div>
    );
  }
  if (outputs.length === 0) {
    return (
      <div class="empty">
        <h1>Nothing was written yet</h1>
        <p>Each output is kept here with all its files, so that a panel can be printed again years later.</p>
        <Button onClick={() => showScreen({ screen: 'output', jobId: job.id })}>Go to the output</Button>
        <JobActualsSection job={job} />
      </div>
    );
  }
  const progress = outputs.map(({ id }) => verifying.progressOf(id)).find((each) => each !== undefined);
  return (
    <div class="history">
      <h1>History</h1>
      <JobActualsSection job={job} />
      {progress && <WorkProgress progress={progress} onCancel={verifying.cancel} />}
      {outputs.map((output) => (
        <OutputSection key={output.id} job={job} output={output} onChanged={read} />
      ))}
    </div>
  );
}

function OutputSection({
  job,
  output,
  onChanged,
}: {
  readonly job: Job;
  readonly output: OutputSummary;
  onChanged(): Promise<void>;
}) {
  const [isOpen, setOpen] = useState(false);
  const [isPrinted, setPrinted] = useState(false);
  const labels = output.files.flatMap(({ panelLabel }) => panelLabel ?? []);
  return (
    <section class="past-output">
      <div class="output-head">
        <h2>
          Output {output.number}
          {output.kind === 'reprint' && `, ${reprintWords(output)}`}
        </h2>
        <PastTime at={output.at} />
        <span class="quiet">Panelwright {output.programVersion}</span>
        {labels.length > 0 && (
          <Button
            onClick={() => showScreen({ screen: 'reprint', jobId: job.id, output: output.number })}
            spoken={`Reprint panels of Output ${output.number}`}
          >
            Reprint panels…
          </Button>
        )}
        {labels.length > 0 && (
          <Button
            title="Takes its film and laminate off the rolls on the shelf"
            spoken={`Enter as printed: Output ${output.number}`}
            onClick={() => setPrinted(true)}
          >
            Enter as printed…
          </Button>
        )}
        <Button isPressed={isOpen} onClick={() => setOpen(!isOpen)}>
          {isOpen ? 'Hide files' : 'View files'}
        </Button>
        <Button onClick={async () => void (await ask('folder:open', { outputId: output.id }))}>
          Open folder
        </Button>
      </div>
      <VerificationLine output={output} />
      {outputOfNow.value?.id === output.id && output.verification.state === 'verified' && (
        <p>Next: open the folder, and print the panels in it.</p>
      )}
      <VerifyAgain output={output} onVerified={onChanged} />
      {output.reason !== '' && <p>Reason: {output.reason}</p>}
      <p class="quiet">{labels.join('  ')}</p>
      <PanelsStanding job={job} output={output} />
      {output.usedRolls && <UsedRolls used={output.usedRolls} />}
      {isPrinted && <PrintedDialog output={output} onClose={() => setPrinted(false)} onEntered={onChanged} />}
      <NotesOfOutput output={output} />
      {isOpen && (
        <>
          <OutputFiles output={output} />
          <RecordForm output={output} onKept={onChanged} />
        </>
      )}
    </section>
  );
}

/** Which of its panels the job would still print the same way. */
function PanelsStanding({ job, output }: { readonly job: Job; readonly output: OutputSummary }) {
  const panels = layouts.value.flatMap((layout) => layout.panels);
  const lines = panelsStanding({ job, panels }, output, outputsCut.value);
  if (lines.length === 0) return null;
  return (
    <ul class="quiet" aria-label={`Panels of Output ${output.number} now`}>
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  );
}

/** Lot and roll of its panels, as its printing was entered. */
function UsedRolls({ used }: { readonly used: NonNullable<OutputSummary['usedRolls']> }) {
  return (
    <ul class="quiet">
      {used.map((roll, index) => (
        <li key={index}>
          {roll.kind === 'printed' ? 'Printed' : 'Laminated'}
          {roll.printing > 1 && `, print ${roll.printing}`}: {printsText(roll.panelLabels)} · {roll.material},{' '}
          {lotText(roll)}
        </li>
      ))}
    </ul>
  );
}

/** Notes on its panels, each with the panel's name: notes belong to panels, so they show at each output. */
function NotesOfOutput({ output }: { readonly output: OutputSummary }) {
  const panels = output.files.filter(({ panelId }) => panelId !== undefined);
  const noted = panels.filter(
    ({ panelId }) => notesOfPanel(present(panelId, 'The panel of a file')).length > 0,
  );
  if (noted.length === 0) return null;
  return (
    <details class="output-notes">
      <summary>Notes and photos of {noted.map(({ panelLabel }) => panelLabel).join(', ')}</summary>
      {noted.map(({ name, panelId, panelLabel }) => (
        <section key={name}>
          <h3>{panelLabel}</h3>
          <NoteList notes={notesOfPanel(present(panelId, 'The panel of a file'))} />
        </section>
      ))}
    </details>
  );
}

interface RecordFormProps {
  readonly output: OutputSummary;
  onKept(): Promise<void>;
}

/** The operator's entries from the ticket, for reprints after the ticket is gone. */
function RecordForm({ output, onKept }: RecordFormProps) {
  const [record, setRecord] = useState<ProductionRecord>(output.record ?? {});
  const [part, setPart] = useState('');
  const choices = recordChoices(record);
  const of = choices.find(({ value }) => value === part)?.of;
  const entered = of ? recordPart(record, of) : record;
  const change = (field: RecordField, value: string) =>
    setRecord((before) =>
      of
        ? recordWithPart(before, of, { ...recordPart(before, of), [field]: value })
        : { ...before, [field]: value },
    );
  const keep = async () => {
    const kept = await ask('output:record', { outputId: output.id, record });
    if (!kept.ok) return showProblem(kept.problem);
    await onKept();
  };
  const saveTicket = async () => {
    const folder = await ask('folder:choose', { title: 'Folder for the ticket' });
    if (!folder.ok) return showProblem(folder.problem);
    if (!folder.value) return;
    const request = { outputId: output.id, folder: folder.value.token };
    const saved = await work.run('output:ticket', request, 'Drawing the ticket', output.id);
    if (!saved.ok) return showProblem(saved.problem);
    showDone([`${saved.value.fileName} is in ${folder.value.name}.`, ...saved.value.remarks].join(' '));
  };
  return (
    <details class="production-record">
      <summary>{output.record ? 'Made with, as entered' : 'Enter what it was made with'}</summary>
      {choices.length > 1 && (
        <SelectField
          label="What is entered is about"
          value={part}
          options={choices.map(({ value, label }) => ({ value, label }))}
          onChange={setPart}
        />
      )}
      <div class="fields">
        {RECORD_FIELDS.map(([field, name]) => (
          <RecordTextField
            key={`${part} ${field}`}
            label={name}
            isTime={field === 'offPrinter'}
            value={entered[field] ?? ''}
            onChange={(value) => change(field, value)}
          />
        ))}
      </div>
      <Button onClick={keep}>Keep with Output {output.number}</Button>
      {output.record && (
        <Button title="Its drying clock starts when the last panel came off the printer" onClick={saveTicket}>
          Save the ticket with what was entered
        </Button>
      )}
    </details>
  );
}

interface RecordChoice {
  readonly value: string;
  readonly label: string;
  /** Absent: the whole output. */
  readonly of?: RecordOf;
}

/** The whole output, its films, and vehicles where sets follow each other. */
function recordChoices(record: ProductionRecord): RecordChoice[] {
  const now = job.value;
  if (!now) return [];
  const films = hasSeveralFilms(now) ? jobFilms(now) : [];
  const isBySet = isFleet(now) && now.production?.fleetOrder === 'set-by-set';
  const units = isBySet ? jobUnits(now).map(({ unitNumber }) => unitNumber) : [];
  const known: RecordOf[] = [
    ...films.map(({ id: filmId }) => ({ filmId })),
    ...(films.length === 0 ? units.map((unitNumber) => ({ unitNumber })) : []),
    ...films.flatMap(({ id: filmId }) => units.map((unitNumber) => ({ filmId, unitNumber }))),
    ...(record.parts ?? []).map(({ filmId, unitNumber }) => ({ filmId, unitNumber })),
  ];
  const choices = known.map((of): RecordChoice => {
    const film = films.find(({ id }) => id === of.filmId);
    const label = [film && `Film ${film.letter}`, of.unitNumber].filter(Boolean).join(', ');
    return { value: JSON.stringify([of.filmId ?? '', of.unitNumber ?? '']), label: label || 'Film A', of };
  });
  const each = new Map(choices.map((choice) => [choice.value, choice]));
  return [{ value: '', label: 'the whole output' }, ...each.values()];
}

interface RecordTextFieldProps {
  readonly label: string;
  /** Whether the field takes a date and a time; other values stay text. */
  readonly isTime: boolean;
  readonly value: string;
  onChange(value: string): void;
}

function RecordTextField({ label, isTime, value, onChange }: RecordTextFieldProps) {
  const time = offPrinterTime({ offPrinter: value });
  if (!isTime || (value !== '' && time === undefined))
    return <TextField label={label} value={value} onChange={onChange} />;
  return (
    <Field label={label}>
      {(ids) => (
        <input
          class="input"
          type="datetime-local"
          value={time ?? ''}
          onChange={(event) => onChange(event.currentTarget.value.slice(0, 16).replace('T', ' '))}
          {...ids}
        />
      )}
    </Field>
  );
}

interface VerifyAgainProps {
  readonly output: OutputSummary;
  onVerified(): Promise<void>;
}

/** Files may have changed since verification, so they can be verified again. */
function VerifyAgain({ output, onVerified }: VerifyAgainProps) {
  const [remarks, setRemarks] = useState<readonly string[]>([]);
  const verify = async () => {
    const done = await verifying.run('output:verify', { outputId: output.id }, 'Verifying', output.id);
    if (!done.ok) return showProblem(done.problem);
    setRemarks(done.value.remarks);
    await onVerified();
  };
  const isRunning = verifying.progress.value !== undefined;
  return (
    <div class="verify-again">
      <Button isDisabled={isRunning} onClick={verify}>
        {output.verification.state === 'not-verified' ? 'Verify the panels' : 'Verify the panels again'}
      </Button>
      {remarks.map((remark) => (
        <p key={remark} role="status">
          {remark}
        </p>
      ))}
    </div>
  );
}
