/**
 * A shared roll plan as the shop keeps it: where every panel lies, which of them stay, and of what jobs, panels and
 * rolls it was made, so that it can say what has changed since. The jobs themselves are kept by themselves.
 */
import { z } from 'zod';
import { FIRST_FILM_ID } from '../job/job-films.ts';
import { lengthText } from '../measure/length-text.ts';
import { valueAt } from '../measure/present.ts';
import { RollPlacement, RollRules, RollStock } from '../shop/rolls.ts';
import type { FilmsOfJobs } from './shared-film.ts';
import type { SharedRolls } from './shared-rolls.ts';

export const MOST_SHARED_JOBS = 50;

const id = z.string().min(1).max(200);

export const SharedRollRecord = z.strictObject({
  id,
  film: z.string().max(1000),
  /** The first one's rolls and rules hold. */
  jobs: z
    .array(
      z.strictObject({
        id,
        mark: z.string().max(1000),
        /** Absent: its first film. */
        filmId: id.optional(),
        panels: z.array(
          z.strictObject({
            panelId: z.string().max(500),
            label: z.string().max(1000),
            widthMm: z.number(),
            lengthMm: z.number(),
          }),
        ),
      }),
    )
    .min(2)
    .max(MOST_SHARED_JOBS),
  rolls: z.array(RollStock),
  rules: RollRules,
  placements: z.array(RollPlacement),
  locked: z.array(RollPlacement),
});
export type SharedRollRecord = z.infer<typeof SharedRollRecord>;

export function sharedRollRecord(
  recordId: string,
  { film, jobs, items, rolls, rules }: Omit<SharedRolls, 'plan'>,
  places: Pick<SharedRollRecord, 'placements' | 'locked'>,
): SharedRollRecord {
  const itemOf = new Map(items.map((item) => [item.panelId, item]));
  return {
    id: recordId,
    film,
    jobs: jobs.map((job) => ({
      id: job.id,
      mark: job.mark,
      ...(job.filmId !== FIRST_FILM_ID && { filmId: job.filmId }),
      panels: job.panelIds.map((panelId) => {
        const { label, widthMm, lengthMm } = valueAt(itemOf, panelId);
        return { panelId, label, widthMm, lengthMm };
      }),
    })),
    rolls: [...rolls],
    rules,
    placements: places.placements.filter(({ panelId }) => itemOf.has(panelId)),
    locked: places.locked.filter(({ panelId }) => itemOf.has(panelId)),
  };
}

export const filmsOfRecord = ({ jobs }: Pick<SharedRollRecord, 'jobs'>): FilmsOfJobs =>
  Object.fromEntries(jobs.map(({ id, filmId }) => [id, filmId ?? FIRST_FILM_ID]));

/** Whether the record is of these films of these jobs. */
export const isRecordOf = (record: SharedRollRecord, films: FilmsOfJobs): boolean =>
  record.jobs.length === Object.keys(films).length &&
  Object.entries(filmsOfRecord(record)).every(([jobId, filmId]) => films[jobId] === filmId);

/** Sizes that differ by less come from rounding. */
const SAME_MM = 0.01;

/** One sentence for each job, and for the rolls, that is no longer what the plan was made of. */
export function sharedRollChanges(record: SharedRollRecord, now: SharedRolls): readonly string[] {
  const { unit } = now.rules;
  const itemOf = new Map(now.items.map((item) => [item.panelId, item]));
  const sentences = record.jobs.flatMap((job) => {
    const known = new Set(job.panels.map(({ panelId }) => panelId));
    const changes = [
      ...job.panels.flatMap(({ panelId, label, widthMm, lengthMm }) => {
        const item = itemOf.get(panelId);
        if (!item) return [`${label} is gone`];
        const isSame =
          Math.abs(item.widthMm - widthMm) < SAME_MM && Math.abs(item.lengthMm - lengthMm) < SAME_MM;
        if (!isSame) {
          return [
            `${item.label} is now ${lengthText(item.widthMm, unit)} by ${lengthText(item.lengthMm, unit)}`,
          ];
        }
        return item.label === label ? [] : [`${label} is now called ${item.label}`];
      }),
      ...(now.jobs.find((each) => each.id === job.id)?.panelIds ?? [])
        .filter((panelId) => !known.has(panelId))
        .map((panelId) => `${valueAt(itemOf, panelId).label} is new`),
    ];
    return changes.length > 0
      ? [`Job ${job.mark} has changed since this nesting was kept: ${changesTold(changes)}.`]
      : [];
  });
  const isSameFilm = rollsTold(record) === rollsTold(now);
  const rolls = `The rolls at hand or the rules of job ${now.jobs[0]?.mark} have changed since this nesting was kept.`;
  return isSameFilm ? sentences : [...sentences, rolls];
}

/** The unit that findings speak in lays no panel anywhere else. */
const rollsTold = ({ rolls, rules }: Pick<SharedRolls, 'rolls' | 'rules'>): string =>
  JSON.stringify([z.array(RollStock).parse(rolls), RollRules.parse({ ...rules, unit: 'mm' })]);

const MOST_TOLD = 4;

const changesTold = (changes: readonly string[]): string =>
  changes.length <= MOST_TOLD
    ? changes.join(', ')
    : `${changes.slice(0, MOST_TOLD - 1).join(', ')} and ${changes.length - MOST_TOLD + 1} more`;
