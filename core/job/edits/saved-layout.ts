/**
 * A vehicle's side without artwork: its body lines, doors, difficult ground and no-film areas, measured from the front
 * edge. A saved layout of a left side therefore fits the right side, mirrored automatically.
 */
import { z } from 'zod';
import { pathRange } from '../../measure/path.ts';
import { rectIntersection } from '../../measure/rect.ts';
import type { Problem, Result } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { bodyLineSpan } from '../body-line.ts';
import { doorMirrored, doorOutline } from '../door.ts';
import { linePath } from '../line-path.ts';
import { BodyLine, Door, Ground, type Job, NoFilmArea, type Side, type StoredRect } from '../schema.ts';
import { sideOutline } from '../side-outline.ts';
import { itemAdd, type SideItems } from './edits.ts';
import { areaMirrored, bodyLineMirrored, groundMirrored } from './side-mirror.ts';

export const SavedLayout = z.strictObject({
  name: z.string().min(1).max(200),
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
  /** Distances along the side count from the front edge; on a side without a front, from the left edge. */
  bodyLines: z.array(BodyLine.omit({ id: true })),
  ground: z.array(Ground.omit({ id: true })),
  noFilmAreas: z.array(NoFilmArea.omit({ id: true })),
  doors: z
    .array(
      Door.omit({ id: true, handle: true }).extend({
        /** Index of the handle in `noFilmAreas`, from 0. */
        handleIndex: z.number().int().nonnegative().optional(),
      }),
    )
    .optional(),
});
export type SavedLayout = z.infer<typeof SavedLayout>;

type Items = Pick<SavedLayout, 'bodyLines' | 'ground' | 'noFilmAreas' | 'doors'>;

export function savedLayoutFromSide(side: Side, scale: number, name: string): SavedLayout {
  const { width, height } = sideOutline(side, scale);
  const items: Items = {
    bodyLines: side.bodyLines.map(withoutId),
    ground: side.ground.map(withoutId),
    // Films belong to a job: another job may have none for glass.
    noFilmAreas: side.noFilmAreas.map(({ windowFilm: _, ...area }) => withoutId(area)),
    ...(side.doors && {
      doors: side.doors.map(({ id: _, handle, ...door }) => ({
        ...door,
        ...(handle !== undefined && { handleIndex: side.noFilmAreas.findIndex(({ id }) => id === handle) }),
      })),
    }),
  };
  return {
    name,
    widthMm: width,
    heightMm: height,
    ...(side.front === 'right' ? mirrored(items, width) : items),
  };
}

export const savedItemCount = ({ bodyLines, ground, noFilmAreas, doors = [] }: Items): number =>
  bodyLines.length + ground.length + noFilmAreas.length + doors.length;

/** Adds the items of a saved layout to a side, if they are inside it; existing items stay. */
export function applySavedLayout(job: Job, sideId: string, savedLayout: SavedLayout): Result<Job, Problem> {
  const side = job.sides.find(({ id }) => id === sideId);
  if (!side) return { ok: false, problem: sideGone };
  const outline = sideOutline(side, job.scale);
  const { width, height } = outline;
  const turned = side.front === 'right' ? mirrored(savedLayout, width) : savedLayout;
  let edited: Result<Job, Problem> = { ok: true, value: job };
  const add = <L extends keyof Items>(list: L, item: Omit<SideItems[L], 'id'>) => {
    if (edited.ok) edited = itemAdd(edited.value, { sideId, list, item });
  };
  for (const line of turned.bodyLines) {
    const across = line.direction === 'vertical' ? width : height;
    const { start, end } = pathRange(linePath(line), bodyLineSpan(line, outline));
    if (end > 0 && start < across) add('bodyLines', line);
  }
  const isOn = ({ rect }: { readonly rect: StoredRect }) =>
    rect.xMm < width && rect.yMm < height && rect.xMm + rect.widthMm > 0 && rect.yMm + rect.heightMm > 0;
  for (const area of turned.ground.filter(isOn)) add('ground', area);
  const areaIds = turned.noFilmAreas.map((noFilmArea) => {
    if (!isOn(noFilmArea)) return undefined;
    add('noFilmAreas', noFilmArea);
    return edited.ok ? edited.value.sides.find(({ id }) => id === sideId)?.noFilmAreas.at(-1)?.id : undefined;
  });
  for (const { handleIndex, ...door } of turned.doors ?? []) {
    const place = doorOutline(door);
    const handle = handleIndex === undefined ? undefined : areaIds[handleIndex];
    if (place && rectIntersection(place.rect, outline)) {
      add('doors', { ...door, ...(handle !== undefined && { handle }) });
    }
  }
  return edited;
}

function withoutId<T extends { readonly id: string }>({ id: _, ...item }: T): Omit<T, 'id'> {
  return item;
}

function mirrored({ bodyLines, ground, noFilmAreas, doors }: Items, widthMm: Mm): Items {
  return {
    bodyLines: bodyLines.map((line) => bodyLineMirrored(line, widthMm)),
    ground: ground.map((item) => groundMirrored(item, widthMm)),
    noFilmAreas: noFilmAreas.map((item) => areaMirrored(item, widthMm)),
    ...(doors && { doors: doors.map((door) => doorMirrored(door, widthMm)) }),
  };
}

const sideGone: Problem = {
  code: 'side-unknown',
  message: 'The side is no longer in the job.',
  remedy: 'Select a side that the job has.',
};
