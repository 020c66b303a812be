/** Repeats a body line at even distances: rivet rows and posts come in dozens. */
import { lengthText } from '../../measure/length-text.ts';
import { pathRange } from '../../measure/path.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { bodyLineSpan } from '../body-line.ts';
import { linePath } from '../line-path.ts';
import { rectAcross } from '../region.ts';
import type { BodyLine, Job } from '../schema.ts';
import { type EditResult, editProblem, lineUnknown, sideEdited } from './edit.ts';

interface LineRepetition {
  readonly sideId: string;
  readonly itemId: string;
  /** Distance from one line to the next; negative toward the left or the top edge. */
  readonly everyMm: Mm;
  /** Number of lines to add. */
  readonly times: number;
}

const MOST_TIMES = 200;

/** Adds `times` copies of a line, each `everyMm` from the one before. None is outside the side. */
export function bodyLineRepeat(job: Job, { sideId, itemId, everyMm, times }: LineRepetition): EditResult {
  return sideEdited(job, sideId, ({ side, outline, fresh }) => {
    const line = side.bodyLines.find(({ id }) => id === itemId);
    if (!line) return lineUnknown(side, itemId);
    if (everyMm === 0 || !Number.isInteger(times) || times < 1 || times > MOST_TIMES) {
      return editProblem(
        'repeat-impossible',
        'A body line is repeated at a distance, a whole number of times.',
        `Type a distance above 0 and a number from 1 to ${MOST_TIMES}.`,
      );
    }
    const { start, end } = rectAcross(outline, line.direction);
    const taken = pathRange(linePath(line), bodyLineSpan(line, outline));
    const room = everyMm > 0 ? end - taken.end : taken.start - start;
    const most = Math.max(0, Math.floor(room / Math.abs(everyMm)));
    if (times > most) {
      const length = lengthText(Math.abs(everyMm), job.displayUnit);
      return editProblem(
        'repeat-impossible',
        most === 0
          ? `The next line, ${length} on, would lie beyond the edge of the side.`
          : `Only ${most} ${most === 1 ? 'line fits' : 'lines fit'} before the edge of the side, ${length} apart.`,
        'Type a smaller number, a shorter distance or the other direction.',
      );
    }
    const named = nameCounter(line.name);
    const added = Array.from(
      { length: times },
      (_, index): BodyLine => ({
        ...line,
        id: fresh('b'),
        name: named(index + 1),
        atMm: line.atMm + everyMm * (index + 1),
      }),
    );
    return resultOk({ ...side, bodyLines: [...side.bodyLines, ...added] });
  });
}

/** `Post 3` is followed by `Post 4`, `Rivet row` by `Rivet row 2`. */
function nameCounter(name: string): (by: number) => string {
  const [, words = name, number = '1'] = /^(.*?)\s+(\d{1,4})$/.exec(name) ?? [];
  return (by) => `${words} ${Number(number) + by}`;
}
