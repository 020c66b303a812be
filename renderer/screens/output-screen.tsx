/** Writes an output: which panels, at what size, where to; then shows the result. */
import { useSignalEffect } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { blockingText } from '../../core/findings/layout/finding-groups.ts';
import { jobSet } from '../../core/job/edits/edits.ts';
import type { Job, OutputSize } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { MAX_PAGE_MM } from '../../core/measure/page-limits.ts';
import { panelsStillGood } from '../../core/output/older-outputs.ts';
import {
  SELECTED_SHEETS,
  type SelectedSheet,
  SHEET_NAMES,
  USUAL_SHEETS,
} from '../../core/output/sheet-kind.ts';
import { ask } from '../client/client.ts';
import { AcknowledgeAll } from '../parts/acknowledge-all.tsx';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { FindingList } from '../parts/finding-list.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { TermText } from '../parts/term.tsx';
import { VerificationLine } from '../parts/verification-line.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { measureCoverageSoon } from '../state/coverage.ts';
import { takeSoughtFinding } from '../state/finding-way.ts';
import { blockingFindings, findings } from '../state/job-findings.ts';
import { keepLastOutput, outputsCut } from '../state/last-output.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { job as currentJob, editJob, isReadOnly, layouts, saveNow } from '../state/open-job.ts';
import { workSlot } from '../state/work.ts';
import { OutputFiles } from './output-files.tsx';
import { ShopQuestion } from './shop-question.tsx';

const work = workSlot();

export function OutputScreen({ job }: { readonly job: Job }) {
  const panels = layouts.value.flatMap((layout) => layout.panels);
  const [leftOut, setLeftOut] = useState<ReadonlySet<string>>(new Set());
  const [sheets, setSheets] = useState<readonly SelectedSheet[]>(USUAL_SHEETS);
  const [isVerified, setVerified] = useState(true);
  const [output, setOutput] = useState<OutputSummary>();
  const [remarks, setRemarks] = useState<readonly string[]>([]);
  const chosen = panels.filter(({ id }) => !leftOut.has(id));
  const good = panelsStillGood(job, panels, outputsCut.value);
  const obstacle = outputObstacle(chosen.length);
  useSignalEffect(() => {
    const sought = takeSoughtFinding('output');
    if (sought) showSetting(sought);
  });
  // Too much ink stops the output, so it is reported before a folder is selected.
  useEffect(() => {
    if (job.production) measureCoverageSoon(job);
  }, [job]);

  const write = async () => {
    const folder = await ask('folder:choose', {
      title: 'Folder for the job, in which each output gets its own',
    });
    if (!folder.ok) return showProblem(folder.problem);
    if (!folder.value) return;
    await saveNow();
    const written = await work.run(
      'output:write',
      {
        jobId: job.id,
        folder: folder.value.token,
        sheets: [...sheets],
        isVerified,
        ...(leftOut.size > 0 && { panelIds: chosen.map(({ id }) => id) }),
      },
      'Starting',
      job.id,
    );
    if (!written.ok) return showProblem(written.problem);
    setOutput(written.value.output);
    if (currentJob.value?.id === job.id) keepLastOutput(currentJob.value, written.value.output);
    setRemarks(written.value.remarks);
    showDone(`${chosen.length} panels of ${job.number} written.`);
  };

  const progress = work.progressOf(job.id);
  return (
    <div class="output">
      <section class="output-choices" aria-label="What to write">
        <h1>Output</h1>
        <FilesChoice job={job} isChoice={leftOut.size > 0} />
        <SizeChoice job={job} />
        <div id="output-border">
          <LengthField
            label="Unprinted border around each panel, for labels and marks"
            mm={job.output.borderMm}
            unit={job.displayUnit}
            onChange={(borderMm) =>
              editJob('Set the border', (current) =>
                jobSet(current, { change: { output: { ...current.output, borderMm } } }),
              )?.message
            }
          />
        </div>
        <fieldset>
          <legend>Sheets</legend>
          {SELECTED_SHEETS.map((kind) => (
            <label key={kind} class="check">
              <input
                type="checkbox"
                checked={sheets.includes(kind)}
                onChange={(event) =>
                  setSheets(
                    event.currentTarget.checked
                      ? SELECTED_SHEETS.filter((each) => each === kind || sheets.includes(each))
                      : sheets.filter((each) => each !== kind),
                  )
                }
              />
              {SHEET_NAMES[kind]}
            </label>
          ))}
        </fieldset>
        <label class="check">
          <input
            type="checkbox"
            checked={isVerified}
            onChange={(event) => setVerified(event.currentTarget.checked)}
          />
          Verify the panels against the artwork
        </label>
        <fieldset class="panel-choice">
          <legend>
            Panels ({chosen.length} of {panels.length})
          </legend>
          <Button onClick={() => setLeftOut(new Set())}>All</Button>
          <Button onClick={() => setLeftOut(new Set(panels.map(({ id }) => id)))}>None</Button>
          {good.size > 0 && good.size < panels.length && (
            <Button
              title="Those that no earlier output is good for: the artwork or the panel layout has changed there"
              onClick={() => setLeftOut(good)}
            >
              Changed ({panels.length - good.size})
            </Button>
          )}
          <div class="panel-choice-list">
            {panels.map(({ id, label }) => (
              <label key={id} class="check">
                <input
                  type="checkbox"
                  checked={!leftOut.has(id)}
                  onChange={(event) => {
                    const next = new Set(leftOut);
                    if (event.currentTarget.checked) next.delete(id);
                    else next.add(id);
                    setLeftOut(next);
                  }}
                />
                {label}
              </label>
            ))}
          </div>
        </fieldset>
        <ShopQuestion job={job} />
        <div class="output-action">
          <Button
            isPrimary
            isDisabled={obstacle !== undefined || work.progress.value !== undefined}
            onClick={write}
          >
            {obstacle ?? 'Select a folder and write'}
          </Button>
          {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
        </div>
      </section>
      <section
        class="output-result"
        aria-label={output ? 'What was written' : 'Findings'}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
        tabIndex={0}
      >
        {output ? (
          <>
            <h2>Output {output.number}</h2>
            <p>
              In {output.folder}.{' '}
              <Button onClick={async () => void (await ask('folder:open', { outputId: output.id }))}>
                Open folder
              </Button>
            </p>
            <VerificationLine output={output} />
            {remarks.map((remark) => (
              <p key={remark}>{remark}</p>
            ))}
            <OutputFiles output={output} />
            {job.acknowledgements.length > 0 && <h2>Acknowledged warnings</h2>}
            <FindingList findings={findings.value.filter(({ severity }) => severity === 'warn')} />
          </>
        ) : (
          <>
            <h2>Findings</h2>
            <AcknowledgeAll job={job} />
            <FindingList findings={findings.value} />
          </>
        )}
      </section>
    </div>
  );
}

/** Why nothing can be written now; the button shows it. */
function outputObstacle(panelCount: number): string | undefined {
  if (isReadOnly.value) return 'Cannot write: another window edits this job';
  const blocking = blockingFindings.value;
  const [stops, warnings] = [
    blocking.filter(({ severity }) => severity === 'stop'),
    blocking.filter(({ severity }) => severity === 'warn'),
  ];
  const reasons = [
    stops.length > 0 && `stopped by ${blockingText(stops)}`,
    warnings.length > 0 &&
      `${warnings.length} ${warnings.length === 1 ? 'warning' : 'warnings'} to acknowledge`,
  ].filter(Boolean);
  if (reasons.length > 0) return `Cannot write yet: ${reasons.join('; ')}`;
  return panelCount === 0 ? 'Select panels to write' : undefined;
}

/** By finding: the field of this screen that fixes it. */
const SETTINGS: Readonly<Record<string, string>> = {
  'border-too-narrow-for-marks': 'output-border',
  'contours-in-panels': 'output-contours',
};

function showSetting({ code }: Finding): void {
  const field = document.getElementById(SETTINGS[code] ?? 'output-size');
  field?.scrollIntoView({ block: 'center' });
  field?.querySelector('input')?.focus();
}

/** `isChoice`: only some panels are to be written. */
function FilesChoice({ job, isChoice }: { readonly job: Job; readonly isChoice: boolean }) {
  const { files = 'panels' } = job.output;
  const choose = (next: 'panels' | 'strips') => {
    editJob('Set the print files', (current) =>
      jobSet(current, { change: { output: { ...current.output, files: next } } }),
    );
  };
  return (
    <fieldset>
      <legend>Print files</legend>
      <label class="check">
        <input type="radio" name="files" checked={files === 'panels'} onChange={() => choose('panels')} />
        One file per panel
      </label>
      <label class="check">
        <input type="radio" name="files" checked={files === 'strips'} onChange={() => choose('strips')} />
        One file per strip of the nesting, with cut marks between the panels; the panels are written beside
        them
      </label>
      {files === 'strips' && isChoice && (
        <p class="quiet">When only some panels are selected, each is a file of its own, without strips.</p>
      )}
      <ContoursChoice job={job} />
    </fieldset>
  );
}

function ContoursChoice({ job }: { readonly job: Job }) {
  const { cutContours, ...output } = job.output;
  return (
    <label class="check" id="output-contours">
      <input
        type="checkbox"
        checked={cutContours ?? false}
        onChange={({ currentTarget }) =>
          void editJob('Set the cut contours', (current) =>
            jobSet(current, {
              change: { output: { ...output, ...(currentTarget.checked && { cutContours: true }) } },
            }),
          )
        }
      />
      <TermText>Cut contours in the panel files</TermText>
    </label>
  );
}

function SizeChoice({ job }: { readonly job: Job }) {
  const { size } = job.output;
  const choose = (next: OutputSize) => {
    editJob('Set the output size', (current) =>
      jobSet(current, { change: { output: { ...current.output, size: next } } }),
    );
  };
  return (
    <fieldset id="output-size">
      <legend>Size in the file</legend>
      <label class="check">
        <input
          type="radio"
          name="size"
          checked={size.kind === 'true-size'}
          onChange={() => choose({ kind: 'true-size' })}
        />
        Finished size, 1:1
      </label>
      <label class="check">
        <input
          type="radio"
          name="size"
          checked={size.kind === 'reduction'}
          onChange={() => choose({ kind: 'reduction', factor: 10 })}
        />
        Reduced; production enlarges
      </label>
      {size.kind === 'reduction' && (
        <Field label="Enlarge in production by">
          {(ids) => (
            <input
              class="input number"
              type="number"
              min={2}
              max={100}
              step={1}
              value={size.factor}
              onChange={(event) => choose({ kind: 'reduction', factor: event.currentTarget.valueAsNumber })}
              {...ids}
            />
          )}
        </Field>
      )}
      <label class="check">
        <input
          type="radio"
          name="size"
          checked={size.kind === 'user-unit'}
          onChange={() => choose({ kind: 'user-unit' })}
        />
        Finished size in larger units where a panel is over {lengthText(MAX_PAGE_MM, job.displayUnit)} (PDF
        1.6 UserUnit; ask your RIP first)
      </label>
    </fieldset>
  );
}
