/** Actual figures of the job, entered once after installation, beside the estimate. */
import { useEffect, useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import { figureInField, figureLabel, figureStored } from '../../core/measure/figure-units.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import {
  ACTUAL_STEPS,
  type ActualStep,
  type JobActuals,
  type KeptActuals,
  PAYERS,
  type PanelReprinted,
  type Payer,
  REPRINT_REASON_NAMES,
  REPRINT_REASONS,
  type ReprintReason,
} from '../../core/output/job-actuals.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { OptionalNumberField } from '../parts/optional-number-field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { showDone, showProblem } from '../state/notices.ts';
import { layouts, saveNow } from '../state/open-job.ts';
import { workSlot } from '../state/work.ts';

const work = workSlot();
const NOTHING: JobActuals = { reprints: [] };
const STEP_NAMES: Readonly<Record<ActualStep, string>> = {
  printing: 'Printing, hours',
  lamination: 'Lamination, hours',
  trimming: 'Trimming, hours',
  packing: 'Packing, hours',
};

export function JobActualsSection({ job }: { readonly job: Job }) {
  const [kept, setKept] = useState<KeptActuals | null>();
  const [actuals, setActuals] = useState<JobActuals>(NOTHING);
  const show = (found: KeptActuals | null) => {
    setKept(found);
    setActuals(found?.actuals ?? NOTHING);
  };
  useEffect(() => {
    void ask('actuals:find', { jobId: job.id }).then((found) =>
      found.ok ? show(found.value) : showProblem(found.problem),
    );
  }, [job.id]);
  const keep = async () => {
    // The estimate stored with it is that of the present job.
    await saveNow();
    const request = { jobId: job.id, actuals };
    const answer = await work.run('actuals:keep', request, 'Working out the estimate', job.id);
    if (!answer.ok) return showProblem(answer.problem);
    show(answer.value);
    showDone('What the job took is kept with the estimate of today.');
  };
  const change = (given: Partial<Record<keyof JobActuals, unknown>>) => {
    const entries = Object.entries({ ...actuals, ...given }).filter(([, value]) => value !== undefined);
    setActuals(Object.fromEntries(entries) as JobActuals);
    return undefined;
  };
  const setStep = (step: ActualStep, hours: number | undefined) => {
    const steps = Object.entries({ ...actuals.stepHours, [step]: hours });
    return change({ stepHours: Object.fromEntries(steps.filter(([, value]) => value !== undefined)) });
  };
  const progress = work.progressOf(job.id);
  const of = (minutes: number | undefined) =>
    minutes === undefined ? '' : `Estimated ${decimalText(minutes / 60, 1)} h`;
  const estimated = kept?.estimated;
  const length = (meters: number) => decimalText(figureInField(meters, 'm', job.displayUnit), 1);
  return (
    <section class="job-actuals" aria-labelledby="job-actuals-head">
      <h2 id="job-actuals-head">What the job took</h2>
      <p class="quiet">
        Entered after installation. Reports show it beside the estimate, and the shop’s figures can be taken
        from it. Hours are of all people together; leave empty what nobody counted.
      </p>
      <form
        class="fields"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <OptionalNumberField
          label={figureLabel('Film printed, m', job.displayUnit)}
          value={actuals.filmM === undefined ? undefined : figureInField(actuals.filmM, 'm', job.displayUnit)}
          empty="not counted"
          hint={estimated ? `Estimated ${length(estimated.filmM)}` : ''}
          onChange={(value) =>
            change({ filmM: value === undefined ? undefined : figureStored(value, 'm', job.displayUnit) })
          }
        />
        <OptionalNumberField
          label="Installation, hours"
          value={actuals.installHours}
          empty="not counted"
          hint={of(estimated?.minutes.installing)}
          onChange={(installHours) => change({ installHours })}
        />
        <details>
          <summary>Hours in the shop, by step</summary>
          {ACTUAL_STEPS.map((step) => (
            <OptionalNumberField
              key={step}
              label={STEP_NAMES[step]}
              value={actuals.stepHours?.[step]}
              empty="not counted"
              hint={of(estimated?.minutes[step])}
              onChange={(hours) => setStep(step, hours)}
            />
          ))}
        </details>
        {actuals.reprints.map((reprint, index) => (
          <ReprintFields
            key={index}
            reprint={reprint}
            number={index + 1}
            onChange={(changed) => {
              const others = actuals.reprints.map((each, at) => (at === index ? changed : each));
              change({ reprints: changed ? others : actuals.reprints.filter((_, at) => at !== index) });
            }}
          />
        ))}
        <div class="buttons">
          <Button
            isDisabled={layouts.value.every(({ panels }) => panels.length === 0)}
            onClick={() => change({ reprints: [...actuals.reprints, newReprint()] })}
          >
            Add a panel that was reprinted
          </Button>
          <Button isPrimary isSubmit>
            Keep what the job took
          </Button>
        </div>
        {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
      </form>
    </section>
  );
}

function newReprint(): PanelReprinted {
  const [first] = layouts.value.flatMap(({ panels }) => panels);
  const now = new Date();
  const two = (value: number) => String(value).padStart(2, '0');
  const on = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  return { panel: first?.label ?? '', reason: 'color', paidBy: 'shop', on };
}

interface ReprintFieldsProps {
  readonly reprint: PanelReprinted;
  readonly number: number;
  /** Undefined removes it. */
  onChange(reprint: PanelReprinted | undefined): void;
}

function ReprintFields({ reprint, number, onChange }: ReprintFieldsProps) {
  // A panel that was renumbered since keeps the label that was entered.
  const labels = [
    ...new Set([...layouts.value.flatMap(({ panels }) => panels.map(({ label }) => label)), reprint.panel]),
  ];
  return (
    <fieldset>
      <legend>Reprinted panel {number}</legend>
      <SelectField
        label="Panel"
        value={reprint.panel}
        options={labels.map((label) => ({ value: label, label }))}
        onChange={(panel) => onChange({ ...reprint, panel })}
      />
      <SelectField<ReprintReason>
        label="Reason"
        value={reprint.reason}
        options={REPRINT_REASONS.map((value) => ({ value, label: REPRINT_REASON_NAMES[value] }))}
        onChange={(reason) => onChange({ ...reprint, reason })}
      />
      <SelectField<Payer>
        label="Paid by"
        value={reprint.paidBy}
        options={PAYERS.map((value) => ({ value, label: `the ${value}` }))}
        onChange={(paidBy) => onChange({ ...reprint, paidBy })}
      />
      <Field label="Reprinted on">
        {(ids) => (
          <input
            class="input"
            type="date"
            value={reprint.on}
            onChange={(event) =>
              event.currentTarget.value !== '' && onChange({ ...reprint, on: event.currentTarget.value })
            }
            {...ids}
          />
        )}
      </Field>
      <Button onClick={() => onChange(undefined)}>Remove reprinted panel {number}</Button>
    </fieldset>
  );
}
