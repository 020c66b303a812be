/** The shape of a body line: its points as a table, a bend, and straight again. */
import { useState } from 'preact/hooks';
import { bodyLineBend, bodyLinePointsSet, bodyLineStraighten } from '../../../core/job/edits/edits.ts';
import { linePath } from '../../../core/job/line-path.ts';
import type { BodyLine, Job, Side } from '../../../core/job/schema.ts';
import { lengthRowsFromText } from '../../../core/measure/length-rows.ts';
import { typedLengthText } from '../../../core/measure/length-text.ts';
import { pointFromAxis, pointOnAxis } from '../../../core/measure/path.ts';
import type { Mm } from '../../../core/measure/units.ts';
import { Button } from '../../parts/button.tsx';
import { Field } from '../../parts/field.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { useTyped } from '../../parts/typed-text.ts';
import { editJob } from '../../state/open-job.ts';
import { announce } from '../bench-state.ts';

interface LineShapeProps {
  readonly job: Job;
  readonly side: Side;
  readonly line: BodyLine;
}

/** The points of a line, one row a line, as typed or pasted from a sheet. */
export function LinePointsField({ job, side, line }: LineShapeProps) {
  const unit = job.displayUnit;
  const shown = linePath(line)
    .map((point) => pointOnAxis(line.direction, point))
    .map(({ x, y }) => `${typedLengthText(x, unit)}; ${typedLengthText(y, unit)}`)
    .join('\n');
  const { problem, handlers } = useTyped(shown, (text) => {
    const rows = lengthRowsFromText(text, unit, {
      code: 'points-unreadable',
      whole: 'A body line with points',
      what: 'the distance from the left and from the top',
    });
    if (!rows.ok) return `${rows.problem.message} ${rows.problem.remedy}`;
    const points = rows.value.map(([x, y]) => pointFromAxis(line.direction, { x, y }));
    return editJob(
      'Set the points of a body line',
      (now) => bodyLinePointsSet(now, { sideId: side.id, itemId: line.id, points }),
      { isQuiet: true },
    )?.message;
  });
  return (
    <Field
      label="Points"
      problem={problem}
      hint="One row a line: distance from the left of the side, then from the top, separated by a semicolon or a tab. On the bench, drag a point; press Shift and drag the line to add one."
    >
      {(ids) => <textarea class="input" rows={6} {...handlers} {...ids} />}
    </Field>
  );
}

export function LineShapeFields({ job, side, line }: LineShapeProps) {
  const [riseMm, setRise] = useState<Mm>(job.displayUnit === 'mm' ? 50 : 50.8);
  const of = { sideId: side.id, itemId: line.id };
  const isUpright = line.direction === 'vertical';
  const bend = (by: Mm, way: string) => {
    const problem = editJob('Bend a body line', (now) => bodyLineBend(now, { ...of, riseMm: by }));
    if (!problem) announce(`The line is an arc that bends ${way}.`);
  };
  const [before, after] = isUpright ? ['left', 'right'] : ['up', 'down'];
  return (
    <fieldset class="repeat">
      <legend>Shape</legend>
      <LengthField
        label="Bend, in its middle"
        mm={riseMm}
        unit={job.displayUnit}
        onChange={(mm) => {
          if (mm <= 0) return 'Type a length above 0.';
          setRise(mm);
          return undefined;
        }}
      />
      <div class="pair">
        <Button onClick={() => bend(-riseMm, before)}>Bend {before}</Button>
        <Button onClick={() => bend(riseMm, after)}>Bend {after}</Button>
      </div>
      {line.shape && (
        <Button
          onClick={() => {
            editJob('Straighten a body line', (now) => bodyLineStraighten(now, of));
          }}
        >
          Straighten
        </Button>
      )}
    </fieldset>
  );
}
