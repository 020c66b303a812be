/** Where the pointer is, and what the film on the roll allows. */
import { hasSeveralFilms, jobFilms } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import { printerPrintWidth } from '../../core/layout/panel-fit.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { placedSides } from './bench-state.ts';
import { isPictureAwaited } from './picture-problem.ts';
import { pointerPosition } from './pointer-position.ts';
import { pointOnSide, sideAtPoint } from './sides-placed.ts';

export function BenchStatus({ job }: { readonly job: Job }) {
  return (
    <p class="bench-status">
      <PointerWords job={job} />
      {isPictureAwaited.value && <span>Drawing the artwork…</span>}
      {jobFilms(job).map(({ id, letter, printer }) => (
        <span key={id}>
          {hasSeveralFilms(job) ? `Film ${letter}: roll` : 'Roll'}{' '}
          {lengthText(printer.rollWidthMm, job.displayUnit)}, prints{' '}
          {lengthText(printerPrintWidth(printer), job.displayUnit)}
        </span>
      ))}
    </p>
  );
}

function PointerWords({ job }: { readonly job: Job }) {
  const at = pointerPosition.value;
  if (!at) return null;
  const side = sideAtPoint(placedSides.value, at, job.output.borderMm);
  const on = side ? pointOnSide(side, at) : at;
  return (
    <span class="pointer-words">
      {lengthText(on.x, job.displayUnit)} → {lengthText(on.y, job.displayUnit)} ↓
    </span>
  );
}
