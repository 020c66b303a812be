/** The start of a step of a job, typed. */
import { useState } from 'preact/hooks';
import { barNamed, type WeekMove, type WeekStep } from '../../core/production/week.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field } from '../parts/field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { STEP_WORDS } from '../production/week-bar.tsx';
import { addressFromRoute } from '../state/route.ts';
import { makeMove } from '../state/week.ts';

/** What is opened: a bar, or a film that waits for its start. */
export interface WeekStarted {
  readonly jobId: string;
  readonly number: string;
  readonly name: string;
  readonly letter?: string | undefined;
  readonly step: WeekStep;
  readonly filmId?: string | undefined;
  /** Offered in the field. */
  readonly start: string;
  readonly bay?: number | undefined;
  readonly before: WeekMove;
  /** The present start, in words. */
  readonly stands: string;
}

interface WeekStartDialogProps {
  readonly started: WeekStarted;
  readonly bays: number;
  onClose(): void;
}

export function WeekStartDialog({ started, bays, onClose }: WeekStartDialogProps) {
  const { jobId, step, filmId, before } = started;
  const [start, setStart] = useState(started.start);
  const [bay, setBay] = useState(before.bay == null ? '' : String(before.bay));
  const isValid = /^\d{4}-\d\d-\d\dT\d\d:\d\d$/.test(start);
  const keep = async (at: string | null) => {
    const move: WeekMove = {
      ...{ jobId, step, start: at },
      ...(filmId !== undefined && { filmId }),
      ...(step === 'install' && { bay: bay === '' ? null : Number(bay) }),
    };
    if (await makeMove(move, before)) onClose();
  };
  return (
    <Dialog title={`${barNamed(started)}: ${STEP_WORDS[step]}`} onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          if (isValid) void keep(start);
        }}
      >
        <p>
          {started.name}. {started.stands}
        </p>
        <Field
          label="Begins"
          problem={isValid ? undefined : 'Enter the day and the time.'}
          hint="Within working hours; before it can begin, it waits."
        >
          {(ids) => (
            <input
              class="input"
              type="datetime-local"
              value={start}
              onInput={(event) => setStart(event.currentTarget.value.slice(0, 16))}
              {...ids}
            />
          )}
        </Field>
        {step === 'install' && (
          <SelectField
            label="Bay"
            value={bay}
            options={[
              { value: '', label: 'The first that is free' },
              ...Array.from({ length: bays }, (_, index) => ({
                value: String(index + 1),
                label: `Bay ${index + 1}`,
              })),
            ]}
            onChange={setBay}
          />
        )}
        <div class="buttons">
          <Button isPrimary isSubmit>
            Keep this start
          </Button>
          <Button
            isDisabled={before.start === null && before.bay == null && bay === ''}
            onClick={() => keep(null)}
          >
            {step === 'print' ? 'Take the start away' : 'As early as it can'}
          </Button>
          <Button onClick={onClose}>Cancel</Button>
          <a class="button" href={addressFromRoute({ screen: 'production', jobId })}>
            Go to production of {started.number}
          </a>
        </div>
      </form>
    </Dialog>
  );
}
