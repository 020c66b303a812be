/** The corners of an area, one row a line, as typed or pasted from a sheet. */
import { type AreaShape, areaPoints } from '../../../core/job/area-shape.ts';
import { areaCornersSet } from '../../../core/job/edits/edits.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { lengthRowsFromText } from '../../../core/measure/length-rows.ts';
import { typedLengthText } from '../../../core/measure/length-text.ts';
import { Field } from '../../parts/field.tsx';
import { useTyped } from '../../parts/typed-text.ts';
import { editJob } from '../../state/open-job.ts';

interface AreaCornersProps {
  readonly job: Job;
  readonly side: Side;
  readonly area: AreaShape & { readonly id: string };
}

export function AreaCornersField({ job, side, area }: AreaCornersProps) {
  const unit = job.displayUnit;
  const shown = areaPoints(area)
    .map(({ x, y }) => `${typedLengthText(x, unit)}; ${typedLengthText(y, unit)}`)
    .join('\n');
  const { problem, handlers } = useTyped(shown, (text) => {
    const rows = lengthRowsFromText(text, unit, {
      code: 'corners-unreadable',
      whole: 'An outline',
      what: 'the distance from the left and from the top',
    });
    if (!rows.ok) return `${rows.problem.message} ${rows.problem.remedy}`;
    const points = rows.value.map(([x, y]) => ({ x, y }));
    return editJob(
      'Set the corners of an area',
      (now) => areaCornersSet(now, { sideId: side.id, itemId: area.id, points }),
      { isQuiet: true },
    )?.message;
  });
  return (
    <Field
      label="Corners"
      problem={problem}
      hint="In order around the area, one row a line: distance from the left of the side, then from the top, separated by a semicolon or a tab. On the bench, drag a corner; press Shift and drag an edge to add one."
    >
      {(ids) => <textarea class="input" rows={5} {...handlers} {...ids} />}
    </Field>
  );
}
