/** Repeats a body line at even distances: a rivet row every 24 in, eight times. */
import { useState } from 'preact/hooks';
import { bodyLineRepeat } from '../../../core/job/edits/edits.ts';
import type { BodyLine, Job, Side } from '../../../core/job/schema.ts';
import { MM_PER_INCH, type Mm } from '../../../core/measure/units.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { NumberField } from '../../parts/number-field.tsx';
import { editJob } from '../../state/open-job.ts';
import { announce } from '../bench-state.ts';

/** Common practice, no source: posts and rivet rows of trailers are about two feet apart. */
const USUAL_MM: Readonly<Record<'mm' | 'in', Mm>> = { mm: 610, in: 24 * MM_PER_INCH };

interface LineRepeatProps {
  readonly job: Job;
  readonly side: Side;
  readonly line: BodyLine;
}

export function LineRepeatFields({ job, side, line }: LineRepeatProps) {
  const [everyMm, setEvery] = useState(USUAL_MM[job.displayUnit]);
  const [times, setTimes] = useState(1);
  const [toward, setToward] = useState<'on' | 'back'>('on');
  const [problem, setProblem] = useState<string>();
  const isUpright = line.direction === 'vertical';
  const repeat = () => {
    const by = toward === 'on' ? everyMm : -everyMm;
    const found = editJob(
      'Repeat a body line',
      (now) => bodyLineRepeat(now, { sideId: side.id, itemId: line.id, everyMm: by, times }),
      { isQuiet: true },
    );
    setProblem(found && `${found.message} ${found.remedy}`);
    if (!found) announce(`${times} ${times === 1 ? 'body line' : 'body lines'} added.`);
  };
  return (
    <fieldset class="repeat">
      <legend>Repeat this line</legend>
      <div class="pair">
        <LengthField
          label="Every"
          mm={everyMm}
          unit={job.displayUnit}
          onChange={(mm) => {
            if (mm <= 0) return 'Type a length above 0.';
            setEvery(mm);
            return undefined;
          }}
        />
        <NumberField
          label="Times"
          value={times}
          onChange={(count) => {
            if (!Number.isInteger(count) || count < 1) return 'Type a whole number from 1.';
            setTimes(count);
            return undefined;
          }}
        />
      </div>
      <Choice<'on' | 'back'>
        label="Toward"
        value={toward}
        options={[
          { value: 'on', label: isUpright ? 'The right' : 'The bottom' },
          { value: 'back', label: isUpright ? 'The left' : 'The top' },
        ]}
        onChange={setToward}
      />
      {problem !== undefined && <p class="field-problem">{problem}</p>}
      <Button onClick={repeat}>Repeat</Button>
    </fieldset>
  );
}
