/** What was written of this job, and printing panels again. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply, RunSummary } from '../../core/contract/contract.ts';
import type { Job } from '../../core/job/schema.ts';
import { USUAL_SHEETS } from '../../core/output/sheet-kind.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { ProofLine } from '../parts/proof-line.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { problemShown } from '../state/notices.ts';
import { placeGo } from '../state/place.ts';
import { workSlot } from '../state/work.ts';
import { RunFiles } from './run-files.tsx';

const work = workSlot();
const proving = workSlot();

export function HistoryScreen({ job }: { readonly job: Job }) {
  const [runs, setRuns] = useState<readonly RunSummary[]>();
  const read = async () => {
    const listed = await ask('run:list', { jobId: job.id });
    if (listed.ok) setRuns(listed.value.toReversed());
    else problemShown(listed.problem);
  };
  useEffect(() => void read(), [job.id]);

  if (!runs) return <p class="waiting">Reading the history…</p>;
  if (runs.length === 0) {
    return (
      <div class="empty">
        <h1>Nothing was written yet</h1>
        <p>Each run is kept here with all its files, so that a panel can be printed again years later.</p>
        <Button onClick={() => placeGo({ screen: 'output', jobId: job.id })}>Go to the output</Button>
      </div>
    );
  }
  return (
    <div class="history">
      <h1>History</h1>
      {proving.progress.value && <WorkProgress progress={proving.progress.value} onCancel={proving.cancel} />}
      {runs.map((run) => (
        <RunSection key={run.id} run={run} onChanged={read} />
      ))}
    </div>
  );
}

function RunSection({ run, onChanged }: { readonly run: RunSummary; onChanged(): Promise<void> }) {
  const [isOpen, setOpen] = useState(false);
  const labels = run.files.flatMap(({ panelLabel }) => panelLabel ?? []);
  return (
    <section class="run">
      <div class="run-head">
        <h2>
          Run {run.id}, {run.kind === 'reprint' ? `reprint of run ${run.reprintOf}` : 'output'}
        </h2>
        <time dateTime={run.at}>{run.at.slice(0, 16).replace('T', ' ')}</time>
        <span class="quiet">Panelwright {run.programVersion}</span>
        <Button isPressed={isOpen} onClick={() => setOpen(!isOpen)}>
          {isOpen ? 'Hide files' : 'Show files'}
        </Button>
        <Button onClick={async () => void (await ask('folder:show', { runId: run.id }))}>
          Show in folder
        </Button>
      </div>
      <ProofLine run={run} />
      <ProveAgain run={run} onProved={onChanged} />
      {run.reason !== '' && <p>Reason: {run.reason}</p>}
      <p class="quiet">{labels.join('  ')}</p>
      {isOpen && (
        <>
          <RunFiles run={run} />
          <ReprintForm run={run} labels={labels} onReprinted={onChanged} />
        </>
      )}
    </section>
  );
}

interface ProveAgainProps {
  readonly run: RunSummary;
  onProved(): Promise<void>;
}

/** Files may have been changed since they were proved; whoever doubts them can ask again. */
function ProveAgain({ run, onProved }: ProveAgainProps) {
  const prove = async () => {
    const done = await proving.run('run:prove', { runId: run.id }, 'Proving');
    if (!done.ok) return problemShown(done.problem);
    await onProved();
  };
  const isRunning = proving.progress.value !== undefined;
  return (
    <div class="prove-again">
      <Button isDisabled={isRunning} onClick={prove}>
        {run.proof.state === 'not-proved' ? 'Prove the panels' : 'Prove the panels again'}
      </Button>
    </div>
  );
}

interface ReprintFormProps {
  readonly run: RunSummary;
  readonly labels: readonly string[];
  onReprinted(): Promise<void>;
}

function ReprintForm({ run, labels, onReprinted }: ReprintFormProps) {
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [reason, setReason] = useState('');
  const [result, setResult] = useState<ContractReply<'run:reprint'>>();

  const reprint = async () => {
    const folder = await ask('folder:choose', { title: 'Folder for the reprint' });
    if (!folder.ok) return problemShown(folder.problem);
    if (!folder.value) return;
    const request = {
      runId: run.id,
      panelLabels: [...chosen],
      reason,
      folder: folder.value.token,
      sheets: [...USUAL_SHEETS],
    };
    const done = await work.run('run:reprint', request, 'Reprinting');
    if (!done.ok) return problemShown(done.problem);
    setResult(done.value);
    await onReprinted();
  };

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
      <Button isPrimary isDisabled={chosen.size === 0 || reason.trim() === ''} onClick={reprint}>
        Choose a folder and reprint
      </Button>
      {work.progress.value && <WorkProgress progress={work.progress.value} onCancel={work.cancel} />}
      {result && (
        <div role="status">
          {result.differences.length === 0 ? (
            <p>
              Byte-identical to run {run.id}. Written to {result.run.folder}.
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
