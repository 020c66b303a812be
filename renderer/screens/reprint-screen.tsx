/** Reprints panels: which panels of which output, the reason, and the film needed; then writes them. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import type { Job } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { reprintWords } from '../../core/output/reprint-words.ts';
import { USUAL_SHEETS } from '../../core/output/sheet-kind.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { NoteList } from '../parts/panel-notes.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { notesOfPanel } from '../state/notes.ts';
import { showProblem } from '../state/notices.ts';
import { addressFromRoute, showScreen } from '../state/route.ts';
import { workSlot } from '../state/work.ts';
import { FilePicture } from './output-files.tsx';
import { PatchDialog } from './patch-dialog.tsx';

const work = workSlot();

interface ReprintScreenProps {
  readonly job: Job;
  /** Number of the output; absent: the latest that is not a reprint. */
  readonly output: number | undefined;
}

export function ReprintScreen({ job, output: wanted }: ReprintScreenProps) {
  const [outputs, setOutputs] = useState<readonly OutputSummary[]>();
  useEffect(() => {
    void ask('output:list', { jobId: job.id }).then((listed) => {
      if (listed.ok) setOutputs(listed.value.toReversed());
      else showProblem(listed.problem);
    });
  }, [job.id]);
  if (!outputs) return <p class="waiting">Reading the history…</p>;
  const output =
    outputs.find(({ number }) => number === wanted) ??
    outputs.find(({ kind }) => kind === 'output') ??
    outputs[0];
  if (!output) {
    return (
      <div class="empty">
        <h1>Nothing was written yet</h1>
        <p>Panels can be printed again once an output was written.</p>
        <Button onClick={() => showScreen({ screen: 'output', jobId: job.id })}>Go to the output</Button>
      </div>
    );
  }
  return (
    <div class="reprint-screen">
      <h1>Reprint panels</h1>
      <ReprintForm key={output.id} job={job} output={output} outputs={outputs} />
    </div>
  );
}

const outputName = (output: OutputSummary): string =>
  [`Output ${output.number}`, reprintWords(output), output.at.slice(0, 10)].filter(Boolean).join(', ');

interface ReprintFormProps {
  readonly job: Job;
  readonly output: OutputSummary;
  readonly outputs: readonly OutputSummary[];
}

type Reprintable = ContractReply<'reprint:panels'>;

function ReprintForm({ job, output, outputs }: ReprintFormProps) {
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [reason, setReason] = useState('');
  const [hasColorStrip, setColorStrip] = useState(false);
  const [patching, setPatching] = useState<string>();
  const [vehicle, setVehicle] = useState('');
  const [result, setResult] = useState<ContractReply<'output:reprint'>>();
  const known = usePanelsToReprint(output, chosen);
  const labels = known?.panels.map(({ label }) => label) ?? [];

  // Vehicles that all selected panels are on.
  const wanted = known?.panels.filter(({ label }) => chosen.has(label)) ?? [];
  const [first, ...others] = wanted.length > 0 ? wanted : (known?.panels ?? []);
  const units = first?.unitNumbers.filter((unit) =>
    others.every(({ unitNumbers }) => unitNumbers.includes(unit)),
  );
  const isOneOfSeveral = known?.panels.some(({ unitNumbers }) => unitNumbers.length > 1) ?? false;
  const unitNumber = units?.includes(vehicle) ? vehicle : undefined;
  const isVehicleMissing =
    unitNumber === undefined && wanted.some(({ unitNumbers }) => unitNumbers.length > 1);

  const reprint = async () => {
    const folder = await ask('folder:choose', { title: 'Folder for the reprint' });
    if (!folder.ok) return showProblem(folder.problem);
    if (!folder.value) return;
    const request = {
      outputId: output.id,
      panelLabels: labels.filter((label) => chosen.has(label)),
      ...(unitNumber !== undefined && { unitNumber }),
      reason: reason.trim(),
      folder: folder.value.token,
      sheets: [...USUAL_SHEETS],
      hasColorStrip,
    };
    const done = await work.run('output:reprint', request, 'Reprinting', output.id);
    if (done.ok) setResult(done.value);
    else showProblem(done.problem);
  };

  const progress = work.progressOf(output.id);
  const single = chosen.size === 1 ? known?.panels.find(({ label }) => chosen.has(label)) : undefined;
  const patched = known?.panels.find(({ label }) => label === patching);
  const missing =
    chosen.size === 0
      ? 'Select panels'
      : isVehicleMissing
        ? 'Select the vehicle'
        : reason.trim() === ''
          ? 'Enter the reason'
          : undefined;
  return (
    <>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          if (missing === undefined && !progress) void reprint();
        }}
      >
        <div class="reprint-fields">
          <SelectField
            label="Output to reprint"
            value={String(output.number)}
            options={outputs.map((each) => ({ value: String(each.number), label: outputName(each) }))}
            onChange={(number) => showScreen({ screen: 'reprint', jobId: job.id, output: Number(number) })}
          />
          {isOneOfSeveral && (
            <SelectField
              label="Vehicle that they are for"
              value={unitNumber ?? ''}
              options={[
                { value: '', label: 'Select a vehicle' },
                ...(units ?? []).map((unit) => ({ value: unit, label: unit })),
              ]}
              onChange={setVehicle}
            />
          )}
          <TextField label="Reason" value={reason} onInput={setReason} onChange={setReason} />
        </div>
        <fieldset class="reprint-panels">
          <legend>
            Panels ({chosen.size} of {labels.length})
          </legend>
          {known?.panels.map((panel) => (
            <PanelCard
              key={panel.label}
              job={job}
              outputId={output.id}
              panel={panel}
              isChosen={chosen.has(panel.label)}
              onChoose={(isChosen) => {
                const next = new Set(chosen);
                if (isChosen) next.add(panel.label);
                else next.delete(panel.label);
                setChosen(next);
              }}
            />
          ))}
        </fieldset>
        <label class="check">
          <input
            type="checkbox"
            checked={hasColorStrip}
            onChange={(event) => setColorStrip(event.currentTarget.checked)}
          />
          Color strip of the seam area, to print first and compare on the vehicle
        </label>
        <div class="reprint-foot">
          <p role="status">{known && chosen.size > 0 ? filmSentence(known.film, job.displayUnit) : ''}</p>
          <Button isPrimary isSubmit isDisabled={missing !== undefined || progress !== undefined}>
            {missing ??
              `Select a folder and reprint ${chosen.size === 1 ? '1 panel' : `${chosen.size} panels`}`}
          </Button>
          {single && <Button onClick={() => setPatching(single.label)}>Patch {single.label} instead</Button>}
          <a href={addressFromRoute({ screen: 'history', jobId: job.id })}>History</a>
        </div>
        {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
        {result && <ReprintResult result={result} of={output.number} />}
      </form>
      {patched && (
        <PatchDialog
          job={job}
          outputId={output.id}
          panel={patched}
          firstVehicle={vehicle}
          onClose={() => setPatching(undefined)}
        />
      )}
    </>
  );
}

/** The answer to the latest selection; until it comes, the previous one. */
function usePanelsToReprint(output: OutputSummary, chosen: ReadonlySet<string>): Reprintable | undefined {
  const [known, setKnown] = useState<Reprintable>();
  useEffect(() => {
    const abort = new AbortController();
    const request = { outputId: output.id, labels: [...chosen] };
    void ask('reprint:panels', request, { signal: abort.signal }).then((answer) => {
      if (abort.signal.aborted) return;
      if (answer.ok) setKnown(answer.value);
      else showProblem(answer.problem);
    });
    return () => abort.abort();
  }, [output.id, chosen]);
  return known;
}

/** `Film needed: 3.2 ft of the 54 in roll.` */
function filmSentence({ rolls, unplaced }: Reprintable['film'], unit: 'mm' | 'in'): string {
  const needed = rolls.map(
    ({ widthMm, lengthMm }) => `${filmLengthText(lengthMm, unit)} of the ${lengthText(widthMm, unit)} roll`,
  );
  return [
    ...(needed.length > 0 ? [`Film needed: ${needed.join(', ')}, lead-in and tail included.`] : []),
    ...(unplaced.length > 0 ? [`${unplaced.join(', ')} fit no roll of this job.`] : []),
  ].join(' ');
}

interface PanelCardProps {
  readonly job: Job;
  readonly outputId: number;
  readonly panel: Reprintable['panels'][number];
  readonly isChosen: boolean;
  onChoose(isChosen: boolean): void;
}

function PanelCard({ job, outputId, panel, isChosen, onChoose }: PanelCardProps) {
  const { label, file, panelId, installOrder, widthMm, heightMm } = panel;
  const unit = job.displayUnit;
  const notes = notesOfPanel(panelId);
  return (
    <div class={isChosen ? 'reprint-panel is-chosen' : 'reprint-panel'}>
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: the box beside it is for the keyboard */}
      {/* biome-ignore lint/a11y/noStaticElementInteractions: the same */}
      <div onClick={() => onChoose(!isChosen)}>
        <FilePicture outputId={outputId} name={file} />
      </div>
      <div>
        <label class="check">
          <input
            type="checkbox"
            checked={isChosen}
            onChange={(event) => onChoose(event.currentTarget.checked)}
          />
          <strong>{label}</strong>
        </label>
        <p>Install {installOrder}</p>
        <p class="quiet">
          Size on roll {lengthText(widthMm, unit)} × {lengthText(heightMm, unit)}
        </p>
      </div>
      <NoteList notes={notes} />
    </div>
  );
}

function ReprintResult({
  result: { output, differences, remarks },
  of,
}: {
  readonly result: ContractReply<'output:reprint'>;
  readonly of: number;
}) {
  return (
    <div role="status">
      <h2>Output {output.number}</h2>
      <p>
        {differences.length === 0 && `Byte-identical to Output ${of}. `}Written to {output.folder}.
      </p>
      {[...differences, ...remarks].map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </div>
  );
}
