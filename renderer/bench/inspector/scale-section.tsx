/** The scale of the drawing: by ratio, or from what a tape showed. */
import { useState } from 'preact/hooks';
import { type ScaleReading, scaleFromMeasurement, scaleSet } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { decimalText, lengthText } from '../../../core/measure/length-text.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { NumberField } from '../../parts/number-field.tsx';
import { Section } from '../../parts/section.tsx';
import { editJob } from '../../state/open-job.ts';
import { type Measure, measures, takeTool } from '../bench-state.ts';
import { focusCanvas } from '../canvas-focus.ts';

type Positions = 'with-artwork' | 'keep';

const POSITIONS = [
  { value: 'with-artwork', label: 'Stay on the artwork' },
  { value: 'keep', label: 'Keep their distances' },
] as const;

export function ScaleSection({ job }: { readonly job: Job }) {
  const [positions, setPositions] = useState<Positions>('with-artwork');
  const set = (scale: number): string | undefined =>
    editJob('Set the scale', (now) => scaleSet(now, { scale, positions }), { isQuiet: true })?.message;
  return (
    <Section title="Scale">
      <NumberField label="The drawing is 1 to" value={job.scale} onChange={set} />
      {job.sides.length > 0 && (
        <Choice
          label="When it changes, seams and areas"
          value={positions}
          options={POSITIONS}
          onChange={(next) => setPositions(next)}
        />
      )}
      <Button
        onClick={() => {
          takeTool('measure');
          focusCanvas();
        }}
        title="Click two points, then type the tape's distance (Shift+M)"
      >
        Measure between two points
      </Button>
      {measures.value.map((measure, index) => (
        <MeasureFields key={measure.id} job={job} measure={measure} number={index + 1} onUse={set} />
      ))}
      <Proportion job={job} />
    </Section>
  );
}

interface MeasureFieldsProps {
  readonly job: Job;
  readonly measure: Measure;
  readonly number: number;
  onUse(scale: number): string | undefined;
}

function MeasureFields({ job, measure, number, onUse }: MeasureFieldsProps) {
  const drawn = Math.hypot(measure.to.x - measure.from.x, measure.to.y - measure.from.y);
  const reading = readingOf(job, measure);
  const keep = (finishedMm: number): string | undefined => {
    const tried = scaleFromMeasurement(job, { ...measure, finishedMm });
    if (!tried.ok) return tried.problem.message;
    measures.value = measures.value.map((other) =>
      other.id === measure.id ? { ...measure, finishedMm } : other,
    );
    return undefined;
  };
  return (
    <fieldset class="measure">
      <legend class="screen-reader-only">Measure {number}</legend>
      <LengthField
        label={`Measure ${number}, ${directionOf(measure)}: the tape showed`}
        mm={measure.finishedMm}
        unit={job.displayUnit}
        onChange={keep}
        hint={`On the drawing it is ${lengthText(drawn * job.scale, job.displayUnit)} at 1:${decimalText(job.scale, 4)}.`}
      />
      {reading && (
        <p role="status">
          {reading.text} At 1:{decimalText(job.scale, 4)}, as it is now, it is{' '}
          {deviationText(reading.presentErrorPercent)}.
        </p>
      )}
      <div class="buttons">
        {reading && (
          <Button onClick={() => void onUse(reading.scale)}>Use 1:{decimalText(reading.scale, 4)}</Button>
        )}
        {reading && reading.whole.scale !== reading.scale && (
          <Button onClick={() => void onUse(reading.whole.scale)}>Use 1:{reading.whole.scale}</Button>
        )}
        <Button
          onClick={() => {
            measures.value = measures.value.filter(({ id }) => id !== measure.id);
          }}
        >
          Clear
        </Button>
      </div>
    </fieldset>
  );
}

function readingOf(job: Job, measure: Measure): ScaleReading | undefined {
  if (measure.finishedMm === undefined) return undefined;
  const reading = scaleFromMeasurement(job, { ...measure, finishedMm: measure.finishedMm });
  return reading.ok ? reading.value : undefined;
}

function directionOf({ from, to }: Measure): 'horizontal' | 'vertical' | 'slanted' {
  if (to.y === from.y) return 'horizontal';
  return to.x === from.x ? 'vertical' : 'slanted';
}

/** Whether the drawing is stretched: the first horizontal measure against the first vertical one. */
function Proportion({ job }: { readonly job: Job }) {
  const scaleAlong = (direction: 'horizontal' | 'vertical'): number | undefined => {
    const read = measures.value.filter((measure) => directionOf(measure) === direction);
    return read.map((measure) => readingOf(job, measure)?.scale).find((scale) => scale !== undefined);
  };
  const [across, up] = [scaleAlong('horizontal'), scaleAlong('vertical')];
  if (across === undefined || up === undefined) return null;
  const percent = 100 * (across / up - 1);
  const isWithin = Math.abs(percent) <= job.limits.maxProportionErrorPercent;
  return (
    <p role="status">
      Horizontal gives 1:{decimalText(across, 4)}, vertical 1:{decimalText(up, 4)}: they differ by{' '}
      {decimalText(Math.abs(percent), 2)} %, {isWithin ? 'within' : 'more than'} the{' '}
      {decimalText(job.limits.maxProportionErrorPercent, 2)} % that this shop allows.
    </p>
  );
}

function deviationText(percent: number): string {
  const size = decimalText(Math.abs(percent), 2);
  if (size === '0') return 'as long as measured';
  return `${size} % too ${percent > 0 ? 'long' : 'short'}`;
}
