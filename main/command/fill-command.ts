/** The fill list of a job file: small pieces in the waste beside its panels. */
import { jobSet } from '../../core/job/edits/edits.ts';
import { jobFilms, jobOnFilm, jobWithProduction } from '../../core/job/job-films.ts';
import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobUnits } from '../../core/job/vehicles.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { foundIn } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { fillItemOf, filmFill } from '../../core/production/fill-list.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import { filmProductions } from '../../core/production/job-production.ts';
import { byNeed, type FillPlan, fillFits, fillItemId } from '../../core/rolls/fill-plan.ts';
import { FillItem, freshFillId, MOST_FILL_ITEMS } from '../../core/shop/fill-item.ts';
import { FILL_NEED_NAMES, type FillKind, type FillNeed, needOfKind } from '../../core/shop/fill-kind.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import { fillWaiting } from '../services/fill-waiting.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

interface FillOptions {
  readonly film?: string;
  readonly add?: string;
  readonly size?: string;
  readonly kind: FillKind;
  readonly need?: FillNeed;
  readonly count: number;
  readonly eachVehicle: boolean;
  readonly take: readonly string[];
  readonly remove: readonly string[];
}

export const fillCommand =
  (path: string, options: FillOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async ({ archive }) => {
      const { terminal, tools, planning } = context;
      const read = await readJobFile(path);
      if (!read.ok) return read;
      const film = filmOf(read.value, options.film);
      if (!film.ok) return film;
      const filmId = film.value;
      const waiting = await fillWaiting({ archive }, { job: read.value, filmId }, tools);
      if (!waiting.ok) return waiting;
      const changed = changedList(read.value, filmId, waiting.value, options);
      if (!changed.ok) return changed;
      const job = changed.value;
      if (job !== read.value) {
        const written = await writeJobFile(path, job);
        if (!written.ok) return written;
      }
      const produced = await planning.run('production', { job, archiveFolder: archive.folder }, tools);
      if (!produced.ok) return produced;
      const made = filmProductions(produced.value).find((each) => each.filmId === filmId);
      if (!made) return resultProblem(nothingPrinted(job, filmId));
      const fill = filmFill(made);
      const list = made.settings.fill ?? [];
      const offered = waiting.value.filter(
        ({ source }) => !list.some((item) => item.source?.sha256 === source?.sha256),
      );
      terminal.printResult(
        {
          spaces: fill.spaces,
          placed: fill.placed.map(({ item: { label }, place: { panelId, ...place } }) => ({
            id: fillItemId(panelId),
            label,
            ...place,
          })),
          left: Object.fromEntries(fill.left),
          list,
          waiting: offered.map((item) => ({ ...item, fits: fillFits(item, fill.free) })),
        },
        fillLines(job, made, fill, offered),
      );
      return resultOk('done');
    });

function filmOf(job: Job, letter: string | undefined): Result<string> {
  const films = jobFilms(job);
  const film = letter === undefined ? films[0] : films.find((each) => each.letter === letter.toUpperCase());
  if (film) return resultOk(film.id);
  return resultProblem({
    code: 'film-unknown',
    message: `The job has no film ${printable(letter ?? '')}.`,
    remedy: `Select from: ${films.map((each) => each.letter).join(', ')}.`,
  });
}

const nothingPrinted = (job: Job, filmId: string): Problem => ({
  code: 'fill-no-panels',
  message: `No panel of ${job.number} is printed on film ${foundIn(jobFilms(job), ({ id }) => id === filmId).letter}, so there is no waste beside one.`,
  remedy: 'Name a film that panels are printed on with --film.',
});

function changedList(
  job: Job,
  filmId: string,
  waiting: readonly FillItem[],
  options: FillOptions,
): Result<Job> {
  const before = jobProductionSettings(jobOnFilm(job, filmId)).fill ?? [];
  const removed = options.remove.map((label) => ({
    label,
    item: before.find((each) => isCalled(each, label)),
  }));
  const unknown = removed.find(({ item }) => !item);
  if (unknown) return resultProblem(notListed(unknown.label, before, 'The fill list has no'));
  const fill = before.filter((item) => !removed.some((each) => each.item === item));
  for (const label of options.take) {
    const item = waiting.find((each) => isCalled(each, label));
    if (!item) return resultProblem(notListed(label, waiting, 'The archive has nothing that waits called'));
    if (!fill.some(({ source }) => source?.sha256 === item.source?.sha256))
      fill.push({ ...item, id: freshFillId(fill) });
  }
  if (options.add !== undefined) {
    const size = sizeFromText(options.size, job.displayUnit);
    if (!size.ok) return size;
    const labels = options.eachVehicle
      ? jobUnits(job).map(({ unitNumber }) => `${options.add} ${unitNumber}`)
      : [options.add];
    for (const label of labels) {
      const item = FillItem.safeParse({
        id: freshFillId(fill),
        label,
        kind: options.kind,
        need: options.need ?? needOfKind(options.kind),
        ...size.value,
        count: options.count,
      });
      if (!item.success) return resultProblem(unreadable(label));
      fill.push(item.data);
    }
  }
  if (fill.length > MOST_FILL_ITEMS) return resultProblem(tooMany);
  const isSame = fill.length === before.length && fill.every((item, index) => item === before[index]);
  if (isSame) return resultOk(job);
  const change = jobWithProduction(job, filmId, { fill: fill.length === 0 ? undefined : fill });
  return jobSet(job, { change });
}

const isCalled = ({ label }: FillItem, text: string): boolean =>
  label.toLowerCase() === text.trim().toLowerCase();

const notListed = (label: string, items: readonly FillItem[], lead: string): Problem => ({
  code: 'fill-item-unknown',
  message: `${lead} ${printable(label)}.`,
  remedy:
    items.length === 0
      ? 'Leave it out: there is none.'
      : `Select from: ${items.map((item) => item.label).join('; ')}.`,
});

const unreadable = (label: string): Problem => ({
  code: 'fill-item-unreadable',
  message: `“${printable(label.slice(0, 120))}” cannot be on the fill list.`,
  remedy: 'Give it a name of 1 to 100 letters, a size below 10 m, and a count of 1 to 200.',
});

const tooMany: Problem = {
  code: 'fill-too-many',
  message: `The fill list takes ${MOST_FILL_ITEMS} items.`,
  remedy: 'Give one item a count instead, or remove what was printed.',
};

function sizeFromText(
  text: string | undefined,
  unit: Job['displayUnit'],
): Result<Pick<FillItem, 'widthMm' | 'heightMm'>> {
  const parts = (text ?? '').split(/\s*[x×]\s*/i);
  const [width, height] = parts.map((part) => lengthFromText(part, unit));
  if (parts.length !== 2 || !width?.ok || !height?.ok || width.value <= 0 || height.value <= 0)
    return resultProblem({
      code: 'fill-size-unreadable',
      message:
        text === undefined
          ? 'What is added needs its size on the roll.'
          : `“${printable(text)}” is no width and height.`,
      remedy: `Write it as --size "${unit === 'mm' ? '600 x 150' : '24 in x 6 in'}", border included.`,
    });
  return resultOk({ widthMm: width.value, heightMm: height.value });
}

function fillLines(job: Job, made: FilmProduction, fill: FillPlan, offered: readonly FillItem[]): string[] {
  const unit = job.displayUnit;
  const size = (wide: number, long: number) => `${lengthText(wide, unit)} × ${lengthText(long, unit)}`;
  const rollOf = (rollId: string) => foundIn(made.rolls, ({ id }) => id === rollId).label;
  const list = made.settings.fill ?? [];
  return [
    fill.spaces.length === 0
      ? 'There is no waste beside the panels that a small piece fits in.'
      : 'Waste beside the panels, across × along:',
    ...tableLines(
      fill.spaces.map(({ rollId, box: { x0, x1, y0, y1 } }) => [
        `  ${printable(rollOf(rollId))}`,
        `from ${filmLengthText(y0, unit)}`,
        `${lengthText(x0, unit)} from the left edge`,
        size(x1 - x0, y1 - y0),
      ]),
    ),
    list.length === 0 ? 'Nothing is on the fill list.' : 'On the fill list, what is needed most first:',
    ...tableLines([
      ...fill.placed.map((piece) => {
        const item = fillItemOf(made, piece);
        const { rollId, xMm, yMm, turned } = piece.place;
        return [
          `  ${printable(piece.item.label)}`,
          FILL_NEED_NAMES[item.need],
          size(item.widthMm, item.heightMm),
          `${printable(rollOf(rollId))}, from ${filmLengthText(yMm, unit)}, ${lengthText(xMm, unit)} from the left edge${turned ? ', turned' : ''}`,
        ];
      }),
      ...list
        .filter(({ id }) => fill.left.has(id))
        .toSorted(byNeed)
        .map((item) => [
          `  ${printable(item.label)}`,
          FILL_NEED_NAMES[item.need],
          size(item.widthMm, item.heightMm),
          `no room for ${fill.left.get(item.id)} of ${item.count}`,
        ]),
    ]),
    ...(offered.length === 0 ? [] : ['Waits in the archive; --take puts it on the list:']),
    ...tableLines(
      offered.map((item) => [
        `  ${printable(item.label)}`,
        FILL_NEED_NAMES[item.need],
        size(item.widthMm, item.heightMm),
        fillFits(item, fill.free) ? 'fits' : 'no room',
      ]),
    ),
  ];
}
