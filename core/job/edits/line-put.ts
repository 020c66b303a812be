/** Body lines that come from a table. */
import { lengthText } from '../../measure/length-text.ts';
import { LEAST_PIECE_MM, lineFromTable } from '../../measure/path.ts';
import { resultOk } from '../../measure/result.ts';
import { lineFromDrawn } from '../body-line.ts';
import type { TableLine } from '../line-table.ts';
import type { BodyLine, Job } from '../schema.ts';
import { type EditResult, editProblem, sideEdited } from './edit.ts';
import { layoutWithLines } from './seam-follow.ts';

/**
 * Puts lines on a side. A line with the name of an existing one gets the new points, and seams that follow it are
 * updated.
 */
export function bodyLinesPut(
  job: Job,
  { sideId, lines }: { readonly sideId: string; readonly lines: readonly TableLine[] },
): EditResult {
  return sideEdited(job, sideId, ({ side, fresh }) => {
    const bodyLines = [...side.bodyLines];
    for (const { name, kind, points } of lines) {
      const at = bodyLines.findIndex((line) => line.name === name);
      const before = bodyLines[at];
      const drawn = lineFromTable(points, before?.direction);
      if (!drawn) {
        const least = lengthText(LEAST_PIECE_MM, job.displayUnit);
        return editProblem(
          'line-unfit',
          `“${name}” cannot be a body line: its points turn back, repeat, or lie less than ${least} apart in all.`,
          'Give each stretch that runs on one way a name of its own.',
        );
      }
      if (before && before.direction !== drawn.axis) {
        return editProblem(
          'line-unfit',
          `“${name}” runs ${before.direction} on side ${side.code}, and ${drawn.axis} in the table.`,
          'Remove the line first, or give the new one another name.',
        );
      }
      const line: BodyLine = {
        id: before?.id ?? fresh('b'),
        name,
        kind: kind ?? before?.kind ?? 'crease',
        ...lineFromDrawn(drawn),
      };
      if (before) bodyLines[at] = line;
      else bodyLines.push(line);
    }
    const after = { ...side, bodyLines };
    return resultOk({ ...after, layout: layoutWithLines(side, after) });
  });
}
