/** Body lines, no-seam areas, difficult ground, no-film areas and guide lines of a side: adding, changing, moving, removing. */
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import type { IdPrefix } from '../fresh-id.ts';
import type { BodyLine, Ground, GuideLine, Job, NoFilmArea, NoSeamArea, Side } from '../schema.ts';
import { type EditResult, editProblem, sideEdited } from './edit.ts';
import { layoutWithLine } from './seam-follow.ts';

/** The kinds of item that a side holds, by the name of their list in the job document. */
export interface SideItems {
  readonly bodyLines: BodyLine;
  readonly noSeamAreas: NoSeamArea;
  readonly ground: Ground;
  readonly noFilmAreas: NoFilmArea;
  readonly guides: GuideLine;
}

export type ItemList = keyof SideItems;

export const ITEM_LISTS: readonly ItemList[] = [
  'bodyLines',
  'noSeamAreas',
  'ground',
  'noFilmAreas',
  'guides',
];

const PREFIX: Readonly<Record<ItemList, IdPrefix>> = {
  bodyLines: 'b',
  noSeamAreas: 'k',
  ground: 'h',
  noFilmAreas: 'o',
  guides: 'g',
};

type SideLists = { readonly [L in ItemList]: readonly SideItems[L][] };

export function sideItems<L extends ItemList>(side: Pick<Side, ItemList>, list: L): SideLists[L] {
  const lists: SideLists = { ...side, guides: side.guides ?? [] };
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

/** Changes fields of an item; its id stays. */
export function itemSet<L extends ItemList>(
  job: Job,
  given: ItemOfSide & { readonly list: L; readonly change: Partial<Omit<SideItems[L], 'id'>> },
): EditResult {
  return itemEdited(job, given, (item) => ({ ...item, ...given.change }));
}

/** Moves an item: an area both ways, a body line across its own direction, and its ends or points along it. */
export function itemMove(
  job: Job,
  given: ItemOfSide & { readonly byMm: { readonly x: Mm; readonly y: Mm } },
): EditResult {
  const { x, y } = given.byMm;
  return itemEdited(job, given, (item) => {
    if ('rect' in item) {
      return { ...item, rect: { ...item.rect, xMm: item.rect.xMm + x, yMm: item.rect.yMm + y } };
    }
    const [across, along] = item.direction === 'vertical' ? [x, y] : [y, x];
    const moved = { ...item, atMm: item.atMm + across };
    if (!('kind' in moved)) return moved;
    const { extent, shape } = moved;
    return {
      ...moved,
      ...(extent && { extent: { fromMm: extent.fromMm + along, toMm: extent.toMm + along } }),
      ...(shape && { shape: shape.map((point) => ({ ...point, alongMm: point.alongMm + along })) }),
    };
  });
}

export function itemRemove(job: Job, given: ItemOfSide): EditResult {
  return itemEdited(job, given, () => undefined);
}

type AnyItem = SideItems[ItemList];

/** Finds the item in whichever list has it; `edit` gives what replaces it, undefined to remove it. */
function itemEdited(
  job: Job,
  { sideId, itemId, list }: ItemOfSide & { readonly list?: ItemList },
  edit: (item: AnyItem) => AnyItem | undefined,
): EditResult {
  return sideEdited(job, sideId, ({ side }) => {
    const holder = (list ? [list] : ITEM_LISTS).find((name) =>
      sideItems(side, name).some(({ id }) => id === itemId),
    );
    if (!holder) return itemUnknown(side, itemId);
    const items: readonly AnyItem[] = sideItems(side, holder);
    const before = items.find(({ id }) => id === itemId)!;
    const after = edit(before);
    const edited = items.flatMap((item) => (item === before ? (after ?? []) : [item]));
    const layout =
      holder === 'bodyLines'
        ? layoutWithLine(side.layout, before as BodyLine, after as BodyLine | undefined)
        : side.layout;
    return resultOk({ ...side, layout, [holder]: edited });
  });
}

const itemUnknown = (side: Side, itemId: string) =>
  editProblem(
    'item-unknown',
    `Side ${side.code} has no line or area “${itemId}”.`,
    'Select an item of this side.',
  );
