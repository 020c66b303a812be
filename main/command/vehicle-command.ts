/** What is on a side of the vehicle, from files: body lines from a table, other items, a photo and its points. */
import { readFile, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import type { z } from 'zod';
import { bodyLinesPut, ItemsToPut, itemsPut, sidePhotoSet } from '../../core/job/edits/edits.ts';
import { linesFromTable } from '../../core/job/line-table.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { schemaSentence } from '../../core/job/schema-sentence.ts';
import { sideByCode, sideCodes, sideSaid } from '../../core/job/vehicles.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { listText } from '../../core/measure/list-text.ts';
import { foundIn } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { photoPlace } from '../../core/vehicle/photo-place.ts';
import { PhotoPoints, type SidePhoto } from '../../core/vehicle/side-photo.ts';
import { tryFiles } from '../files/file-problem.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import { keepPhoto } from '../services/photos.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable } from './terminal.ts';

interface VehicleOptions {
  readonly side: string;
  readonly lines?: string;
  readonly items?: string;
  readonly photo?: string;
  readonly photoPoints?: string;
}

export const vehicleCommand =
  (path: string, options: VehicleOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> => {
    const read = await readJobFile(path);
    if (!read.ok) return read;
    const side = sideByCode(read.value, options.side);
    if (!side) {
      return resultProblem({
        code: 'side-unknown',
        message: `The job has no side ${options.side}.`,
        remedy: `Select from: ${sideCodes(read.value)}.`,
      });
    }
    const lined = options.lines === undefined ? read : await withLines(read.value, side, options.lines);
    if (!lined.ok) return lined;
    const put = options.items === undefined ? lined : await withItems(lined.value, side, options.items);
    if (!put.ok) return put;
    const photographed = await withPhoto(put.value, side, options, context);
    if (!photographed.ok) return photographed;
    const job = photographed.value;
    if (job !== read.value) {
      const written = await writeJobFile(path, job);
      if (!written.ok) return written;
    }
    const now = foundIn(job.sides, ({ id }) => id === side.id);
    const { bodyLines, noSeamAreas, ground, noFilmAreas, doors, template, photo } = now;
    const shown = { bodyLines, noSeamAreas, ground, noFilmAreas, doors, template, photo };
    context.terminal.printResult({ side: side.code, ...shown }, [
      `Side ${sideSaid(job, side)} has ${contentsText(now)}.`,
      ...(photo ? [photoLine(job, photo)] : []),
    ]);
    return resultOk('done');
  };

/** Body lines always, other items where there are some. */
function contentsText({ bodyLines, noFilmAreas, noSeamAreas, ground, doors = [], template }: Side): string {
  const counted = (count: number, one: string) => `${count} ${one}${count === 1 ? '' : 's'}`;
  const others = [
    [noFilmAreas.length, 'no-film area'],
    [noSeamAreas.length, 'no-seam area'],
    [doors.length, 'door'],
  ] as const;
  return listText([
    counted(bodyLines.length, 'body line'),
    ...others.filter(([count]) => count > 0).map(([count, one]) => counted(count, one)),
    ...(ground.length > 0 ? [`${ground.length} on difficult ground`] : []),
    ...(template ? ['a template'] : []),
  ]);
}

/** How the photo lies. */
function photoLine({ displayUnit }: Job, photo: SidePhoto): string {
  const name = printable(photo.fileName);
  const place = photoPlace(photo);
  if (!place.ok) return `${name}: ${place.problem.message}`;
  const { sparePoints, residualsMm, cornersOffMm } = place.value;
  const worst = Math.max(...residualsMm, ...cornersOffMm);
  const how =
    sparePoints > 0
      ? `off by at most ${lengthText(worst, displayUnit)} at its points.`
      : 'with a point more it could be said how true.';
  return `${name} lies on it, ${how}${photo.isSquareOn ? ' It is said to be taken square to the side.' : ''}`;
}

async function withLines(job: Job, side: Side, path: string): Promise<Result<Job>> {
  const text = await readTable(path);
  if (!text.ok) return text;
  const lines = linesFromTable(text.value, job.displayUnit);
  if (!lines.ok) return inFile(path, lines);
  return inFile(path, bodyLinesPut(job, { sideId: side.id, lines: lines.value }));
}

async function withItems(job: Job, side: Side, path: string): Promise<Result<Job>> {
  const items = await readJson(path, ItemsToPut, (why) => ({
    code: 'items-unreadable',
    message: `${path}: ${why}`,
    remedy:
      'Write {"doors": […], "noFilmAreas": […], "noSeamAreas": […], "ground": […], "bodyLines": […], "template": {…}} with the fields of the job file.',
  }));
  return items.ok ? inFile(path, itemsPut(job, { sideId: side.id, items: items.value })) : items;
}

async function withPhoto(
  job: Job,
  side: Side,
  { photo: photoPath, photoPoints }: VehicleOptions,
  { withArchive }: CommandContext,
): Promise<Result<Job>> {
  if (photoPath === undefined && photoPoints === undefined) return resultOk(job);
  const kept =
    photoPath === undefined
      ? resultOk(side.photo)
      : await withArchive(({ archive }) =>
          keepPhoto(archive, { path: photoPath, fileName: basename(photoPath) }),
        );
  if (!kept.ok) return kept;
  if (!kept.value) {
    return resultProblem({
      code: 'photo-none',
      message: `Side ${side.code} has no photo that the points could belong to.`,
      remedy: 'Give the photo with --photo.',
    });
  }
  const points = photoPoints === undefined ? resultOk(undefined) : await readPoints(photoPoints);
  if (!points.ok) return points;
  const photo = { points: [], straightLines: [], isSquareOn: false, ...kept.value, ...points.value };
  return sidePhotoSet(job, { sideId: side.id, photo });
}

const readPoints = (path: string): Promise<Result<PhotoPoints>> =>
  readJson(path, PhotoPoints, (why) => ({
    code: 'photo-points-unreadable',
    message: `${path}: ${why}`,
    remedy:
      'Write {"points": [{"xPx": 812, "yPx": 405, "xMm": 0, "yMm": 0}, …]}: pixels of the photo, and finished millimeters on the side.',
  }));

async function readJson<T>(
  path: string,
  schema: z.ZodType<T>,
  problem: (why: string) => Problem,
): Promise<Result<T>> {
  const text = await readTable(path);
  if (!text.ok) return text;
  let json: unknown;
  try {
    json = JSON.parse(text.value);
  } catch (error) {
    return resultProblem(problem(`it is not JSON: ${(error as Error).message}`));
  }
  const read = schema.safeParse(json);
  return read.success ? resultOk(read.data) : resultProblem(problem(schemaSentence(read.error, json)));
}

/** A table or a list of points is small. */
const MAX_BYTES = 10_000_000;

export async function readTable(path: string): Promise<Result<string>> {
  return await tryFiles(path, async () =>
    (await stat(path)).size > MAX_BYTES
      ? resultProblem({
          code: 'table-too-large',
          message: `${path} is too large to be a table.`,
          remedy: 'Select the file that holds the table.',
        })
      : resultOk(await readFile(path, 'utf8')),
  );
}

const inFile = <T>(path: string, result: Result<T>): Result<T> =>
  result.ok ? result : resultProblem({ ...result.problem, message: `${path}: ${result.problem.message}` });
