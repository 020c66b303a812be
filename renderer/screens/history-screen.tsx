/** What was written of this job, and printing panels again. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import type { Job } from '../../core/job/schema.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { offPrinterTime, RECORD_FIELDS } from '../../core/output/record-fields.ts';
import { USUAL_SHEETS } from '../../core/output/sheet-kind.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { VerificationLine } from '../parts/verification-line.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { showDone, showProblem } from '../state/notices.ts';
import { showScreen } from '../state/route.ts';
import { workSlot } from '../state/work.ts';
import { OutputFiles } from './output-files.tsx';

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
      </div>
    );
  }
  const progress = outputs.map(({ id }) => verifying.progressOf(id)).find((each) => each !== undefined);
  return (
    <div class="history">
      <h1>History</h1>
      {progress && <WorkProgress progress={progress} onCancel={verifying.cancel} />}
      {outputs.map((output) => (
        <OutputSection key={output.id} output={output} onChanged={read} />
      ))}
    </div>
  );
}

function OutputSection({
  output,
  onChanged,
}: {
  readonly output: OutputSummary;
  onChanged(): Promise<void>;
}) {
  const [isOpen, setOpen] = useState(false);
  const labels = output.files.flatMap(({ panelLabel }) => panelLabel ?? []);
  return (
    <section class="past-output">
      <div class="output-head">
        <h2>
          Output {output.number}
          {output.kind === 'reprint' && `, reprint of Output ${output.reprintOf}`}
        </h2>
        <time dateTime={output.at}>{output.at.slice(0, 16).replace('T', ' ')}</time>
        <span class="quiet">Panelwright {output.programVersion}</span>
        <Button isPressed={isOpen} onClick={() => setOpen(!isOpen)}>
          {isOpen ? 'Hide files' : 'View files'}
        </Button>
        <Button onClick={async () => void (await ask('folder:open', { outputId: output.id }))}>
          Show in folder
        </Button>
      </div>
      <VerificationLine output={output} />
      <VerifyAgain output={output} onVerified={onChanged} />
      {output.reason !== '' && <p>Reason: {output.reason}</p>}
      <p class="quiet">{labels.join('  ')}</p>
      {isOpen && (
        <>
          <OutputFiles output={output} />
          <RecordForm output={output} onKept={onChanged} />
          <ReprintForm output={output} labels={labels} onReprinted={onChanged} />
        </>
      )}
    </section>
  );
}

interface RecordFormProps {
  readonly output: OutputSummary;
  onKept(): Promise<void>;
}

/** What the operator wrote on the ticket: whoever prints a panel again in a year has no ticket any more. */
function RecordForm({ output, onKept }: RecordFormProps) {
  const [record, setRecord] = useState<ProductionRecord>(output.record ?? {});
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
      <div class="fields">
        {RECORD_FIELDS.map(([field, name]) => (
          <RecordTextField
            key={field}
            label={name}
            isTime={field === 'offPrinter'}
            value={record[field] ?? ''}
            onChange={(value) => setRecord((before) => ({ ...before, [field]: value }))}
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

interface RecordTextFieldProps {
  readonly label: string;
  /** Whether it takes a date and a time; what is no such thing stays a text. */
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

/** Files may have been changed since they were verified; whoever doubts them can ask again. */
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

interface ReprintFormProps {
  readonly output: OutputSummary;
  readonly labels: readonly string[];
  onReprinted(): Promise<void>;
}

function ReprintForm({ output, labels, onReprinted }: ReprintFormProps) {
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [reason, setReason] = useState('');
  const [hasColorStrip, setColorStrip] = useState(false);
  const [result, setResult] = useState<ContractReply<'output:reprint'>>();

  const reprint = async () => {
    const folder = await ask('folder:choose', { title: 'Folder for the reprint' });
    if (!folder.ok) return showProblem(folder.problem);
    if (!folder.value) return;
    const request = {
      outputId: output.id,
      panelLabels: [...chosen],
      reason,
      folder: folder.value.token,
      sheets: [...USUAL_SHEETS],
      hasColorStrip,
    };
    const done = await work.run('output:reprint', request, 'Reprinting', output.id);
    if (!done.ok) return showProblem(done.problem);
    setResult(done.value);
    await onReprinted();
  };

  const progress = work.progressOf(output.id);
  return (
    <fieldset class="reprint">
      <legend>Print panels again</legend>
      <div class="panel-choice-list">
        {labels.map((label) => (
          <label key={label} class="check">
            <input
              type="checkbox"
              checked={chosen.has(label)}
              onChange={(event) => {
                const next = new Set(chosen);
                if (event.currentTarget.checked) next.add(label);
                else next.delete(label);
                setChosen(next);
              }}
            />
            {label}
          </label>
        ))}
      </div>
      <TextField label="Reason, for the archive" value={reason} onInput={setReason} onChange={setReason} />
      <label class="check">
        <input
          type="checkbox"
          checked={hasColorStrip}
          onChange={(event) => setColorStrip(event.currentTarget.checked)}
        />
        Color strip of the seam area, to print first and compare on the vehicle
      </label>
      <Button isPrimary isDisabled={chosen.size === 0 || reason.trim() === ''} onClick={reprint}>
        Choose a folder and reprint
      </Button>
      {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
      {result && (
        <div role="status">
          {result.differences.length === 0 ? (
            <p>
              Byte-identical to Output {output.number}. Written to {result.output.folder}.
            </p>
          ) : (
            result.differences.map((difference) => <p key={difference}>{difference}</p>)
          )}
          {result.remarks.map((remark) => (
            <p key={remark}>{remark}</p>
          ))}
        </div>
      )}
    </fieldset>
  );
}
