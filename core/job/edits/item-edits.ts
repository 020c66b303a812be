/** Body lines, areas, doors and guide lines of a side: adding, changing, moving, removing. */
import type { Point } from '../../measure/rect.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { areaFitted, areaFromPoints, areaMapped } from '../area-shape.ts';
import { doorGapMoved } from '../door.ts';
import type { IdPrefix } from '../fresh-id.ts';
import type { BodyLine, Door, Ground, GuideLine, Job, NoFilmArea, NoSeamArea, Side } from '../schema.ts';
import { type EditResult, editProblem, sideEdited } from './edit.ts';
import { layoutWithLines, seamsFollowing, seamUnfollow } from './seam-follow.ts';

/** The kinds of items of a side, by the name of their list in the job document. */
export interface SideItems {
  readonly bodyLines: BodyLine;
  readonly noSeamAreas: NoSeamArea;
  readonly ground: Ground;
  readonly noFilmAreas: NoFilmArea;
  readonly doors: Door;
  readonly guides: GuideLine;
}

export type ItemList = keyof SideItems;

export const ITEM_LISTS: readonly ItemList[] = [
  'bodyLines',
  'noSeamAreas',
  'ground',
  'noFilmAreas',
  'doors',
  'guides',
];

export const PREFIX: Readonly<Record<ItemList, IdPrefix>> = {
  bodyLines: 'b',
  noSeamAreas: 'k',
  ground: 'h',
  noFilmAreas: 'o',
  doors: 'd',
  guides: 'g',
};

type SideLists = { readonly [L in ItemList]: readonly SideItems[L][] };

export function sideItems<L extends ItemList>(side: Pick<Side, ItemList>, list: L): SideLists[L] {
  const lists: SideLists = { ...side, doors: side.doors ?? [], guides: side.guides ?? [] };
  return lists[list];
}

export function itemAdd<L extends ItemList>(
  job: Job,
  given: {
    readonly sideId: string;
    readonly list: L;
    readonly item: Omit<SideItems[L], 'id'>;
    readonly id?: string;
  },
): EditResult {
  return sideEdited(job, given.sideId, ({ side, fresh }) => {
    const id = given.id ?? fresh(PREFIX[given.list]);
    return resultOk({ ...side, [given.list]: [...sideItems(side, given.list), { ...given.item, id }] });
  });
}

interface ItemOfSide {
  readonly sideId: string;
  readonly itemId: string;
}

/** Changes fields of an item; its id stays. With a new rectangle, the outline of its area moves and scales with it. */
export function itemSet<L extends ItemList>(
  job: Job,
  given: ItemOfSide & { readonly list: L; readonly change: Partial<Omit<SideItems[L], 'id'>> },
): EditResult {
  return itemEdited(job, given, (item) => {
    const changed = onGlassAlone({ ...item, ...given.change });
    return 'rect' in item && 'rect' in changed && !('outline' in given.change)
      ? areaFitted({ ...changed, rect: item.rect }, changed.rect)
      : changed;
  });
}

/** An area that is no longer a window loses the film on its glass. */
function onGlassAlone<T extends object>(item: T): T {
  if (!('windowFilm' in item) || ('kind' in item && item.kind === 'window' && item.windowFilm)) return item;
  const { windowFilm: _, ...bare } = item;
  return bare as T;
}

/**
 * Moves an item: an area in both directions, a door with its handle, a body line across its direction, and its ends or
 * points along it.
 */
export function itemMove(
  job: Job,
  given: ItemOfSide & { readonly byMm: { readonly x: Mm; readonly y: Mm } },
): EditResult {
  const { x, y } = given.byMm;
  const move = (item: AnyItem): AnyItem => {
    if ('rect' in item) return areaMapped(item, (at) => ({ x: at.x + x, y: at.y + y }));
    if ('gap' in item) return { ...item, gap: doorGapMoved(item.gap, given.byMm) };
    const [across, along] = item.direction === 'vertical' ? [x, y] : [y, x];
    const moved = { ...item, atMm: item.atMm + across };
    if (!('kind' in moved)) return moved;
    const { extent, shape } = moved;
    return {
      ...moved,
      ...(extent && { extent: { fromMm: extent.fromMm + along, toMm: extent.toMm + along } }),
      ...(shape && { shape: shape.map((point) => ({ ...point, alongMm: point.alongMm + along })) }),
    };
  };
  return sideEdited(job, given.sideId, ({ side }) => {
    const handle = side.doors?.find(({ id }) => id === given.itemId)?.handle;
    const moved = handle === undefined ? side : sideWithItem(side, { itemId: handle }, move);
    const edited = sideWithItem(moved ?? side, given, move);
    return edited ? resultOk(edited) : itemUnknown(side, given.itemId);
  });
}

/** Gives an area these corners: an outline, or a plain rectangle where they form one. */
export const areaCornersSet = (
  job: Job,
  { points, ...area }: ItemOfSide & { readonly points: readonly Point<'finished'>[] },
): EditResult =>
  points.length < 3
    ? editProblem('area-corners', 'An area needs three corners or more.', 'Add a corner.')
    : itemEdited(job, area, (item) => {
        if (!('rect' in item)) return item;
        const { outline: _, ...rest } = item;
        return { ...rest, ...areaFromPoints(points) };
      });

/** Removes an item. Seams that follow it keep its shape as a copy, or become straight at its mean. */
export function itemRemove(
  job: Job,
  { seamsKeep = 'shape', ...given }: ItemOfSide & { readonly seamsKeep?: 'shape' | 'mean' },
): EditResult {
  const side = job.sides.find(({ id }) => id === given.sideId);
  const followers = side && seamsKeep === 'mean' ? seamsFollowing(side, given.itemId) : [];
  let freed: EditResult = resultOk(job);
  for (const { id: seamId } of followers) {
    if (freed.ok) freed = seamUnfollow(freed.value, { sideId: given.sideId, seamId, keeps: 'mean' });
  }
  return freed.ok ? itemEdited(freed.value, given, () => undefined) : freed;
}

type AnyItem = SideItems[ItemList];

interface ItemToEdit {
  readonly itemId: string;
  readonly list?: ItemList;
}

const itemEdited = (
  job: Job,
  given: ItemOfSide & ItemToEdit,
  edit: (item: AnyItem) => AnyItem | undefined,
): EditResult =>
  sideEdited(job, given.sideId, ({ side }) => {
    const edited = sideWithItem(side, given, edit);
    return edited ? resultOk(edited) : itemUnknown(side, given.itemId);
  });

/**
 * The side with an item edited, in whichever list it is; `edit` returns the replacement, undefined to remove it. Seams
 * that follow it are updated.
 */
function sideWithItem(
  side: Side,
  { itemId, list }: ItemToEdit,
  edit: (item: AnyItem) => AnyItem | undefined,
): Side | undefined {
  const holder = (list ? [list] : ITEM_LISTS).find((name) =>
    sideItems(side, name).some(({ id }) => id === itemId),
  );
  if (!holder) return undefined;
  const items: readonly AnyItem[] = sideItems(side, holder);
  const edited = items.flatMap((item) => (item.id === itemId ? (edit(item) ?? []) : [item]));
  const after: Side = { ...side, [holder]: edited };
  return {
    ...after,
    layout: layoutWithLines(side, after),
    ...(after.doors && { doors: doorsWithHandles(after.doors, after.noFilmAreas) }),
  };
}

/** Doors lose their handle where its area was removed. */
function doorsWithHandles(doors: Door[], noFilmAreas: readonly NoFilmArea[]): Door[] {
  const isThere = (handle: string) => noFilmAreas.some(({ id }) => id === handle);
  return doors.map((door) => {
    if (door.handle === undefined || isThere(door.handle)) return door;
    const { handle: _, ...rest } = door;
    return rest;
  });
}

const itemUnknown = (side: Side, itemId: string) =>
  editProblem(
    'item-unknown',
    `Side ${side.code} has no line or area “${itemId}”.`,
    'Select an item of this side.',
  );
