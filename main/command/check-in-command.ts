import { sideCheckIn } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import { sideByCode } from '../../core/job/vehicles.ts';
import {
  type CheckInDimension,
  checkInDimensions,
  checkInError,
  checkInName,
} from '../../core/layout/check-in.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { foundIn } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { tableLines } from './terminal.ts';

interface CheckInOptions {
  readonly side: string;
  /** `width=7212`, the dimension by its id. */
  readonly figure: readonly string[];
}

/** Writes what the tape showed into the job file, and prints how each dimension of the side compares. */
export const checkInCommand =
  (path: string, options: CheckInOptions) =>
  async ({ terminal }: CommandContext): Promise<Result<CommandOutcome>> => {
    const read = await readJobFile(path);
    if (!read.ok) return read;
    let job = read.value;
    const side = sideByCode(job, options.side);
    if (!side) {
      return resultProblem({
        code: 'side-unknown',
        message: `The job has no side ${options.side}.`,
        remedy: `Select from: ${job.sides.map(({ code }) => code).join(', ')}.`,
      });
    }
    for (const text of options.figure) {
      const noted = jobWithFigure(job, side.id, text);
      if (!noted.ok) return noted;
      job = noted.value;
    }
    if (options.figure.length > 0) {
      const written = await writeJobFile(path, job);
      if (!written.ok) return written;
    }
    const dimensions = dimensionsOf(job, side.id);
    const length = (mm: number) => lengthText(mm, job.displayUnit);
    const rows = dimensions.map((dimension) => {
      const error = checkInError(dimension);
      const { id, drawnMm, toleranceMm, measuredMm } = dimension;
      const state = measuredMm === undefined ? '' : error === undefined ? 'good' : 'OUT OF TOLERANCE';
      const measured = measuredMm === undefined ? '' : length(measuredMm);
      return [id, checkInName({ side }, dimension), length(drawnMm), length(toleranceMm), measured, state];
    });
    const head = ['dimension', 'what', 'drawn', 'tolerance', 'measured', ''];
    terminal.printResult({ side: side.code, dimensions }, tableLines([head, ...rows]));
    return resultOk(dimensions.some((each) => checkInError(each) !== undefined) ? 'blocked' : 'done');
  };

function dimensionsOf(job: Job, sideId: string): readonly CheckInDimension[] {
  return checkInDimensions(
    sideLayout(
      job,
      foundIn(job.sides, ({ id }) => id === sideId),
    ),
  );
}

function jobWithFigure(job: Job, sideId: string, text: string): Result<Job> {
  const [, name = '', figure = ''] = /^([^=]*)=(.*)$/.exec(text) ?? [];
  const dimensions = dimensionsOf(job, sideId);
  const dimension = dimensions.find(({ id }) => id === name.trim());
  if (!dimension) {
    return resultProblem({
      code: 'dimension-unknown',
      message: `“${text}” names no dimension of this side.`,
      remedy: `Write one of ${dimensions.map(({ id }) => id).join(', ')}, then = and the length.`,
    });
  }
  const length = lengthFromText(figure, job.displayUnit);
  if (!length.ok) return length;
  return sideCheckIn(job, {
    sideId,
    figure: { dimensionId: dimension.id, from: dimension.from },
    measuredMm: length.value,
  });
}
