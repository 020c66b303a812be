/** Items of a vehicle's side from a file, with the same fields as in the job document. */
import { z } from 'zod';
import { type Result, resultOk } from '../../measure/result.ts';
import { areaFromPoints } from '../area-shape.ts';
import {
  BodyLine,
  Door,
  Ground,
  type Job,
  NoFilmArea,
  NoSeamArea,
  type Side,
  SideTemplate,
} from '../schema.ts';
import { type EditProblem, type EditResult, editProblem, sideEdited } from './edit.ts';
import { PREFIX, sideItems } from './item-edits.ts';
import { layoutWithLines } from './seam-follow.ts';

/** An item without an id is identified by its name. */
const isKnownByName = { id: true } as const;
/** An item with an outline needs no rectangle. */
const isKnownByOutline = { id: true, rect: true } as const;

export const ItemsToPut = z.strictObject({
  bodyLines: z.array(BodyLine.partial(isKnownByName)).optional(),
  noSeamAreas: z.array(NoSeamArea.partial(isKnownByOutline)).optional(),
  ground: z.array(Ground.partial(isKnownByOutline)).optional(),
  noFilmAreas: z.array(NoFilmArea.partial(isKnownByOutline)).optional(),
  doors: z.array(Door.partial(isKnownByName).extend({ handle: NoFilmArea.shape.name.optional() })).optional(),
  template: SideTemplate.optional(),
});
export type ItemsToPut = z.infer<typeof ItemsToPut>;

type PutList = Exclude<keyof ItemsToPut, 'template'>;
const LISTS: readonly PutList[] = ['noFilmAreas', 'noSeamAreas', 'ground', 'bodyLines', 'doors'];

/**
 * Puts items on a side. An item with the id or name of an existing one replaces it, and seams that follow it are
 * updated. A door may refer to its handle by the name of the no-film area.
 */
export function itemsPut(
  job: Job,
  { sideId, items }: { readonly sideId: string; readonly items: ItemsToPut },
): EditResult {
  return sideEdited(job, sideId, ({ side, fresh }): Result<Side, EditProblem> => {
    let after: Side = { ...side, ...(items.template && { template: items.template }) };
    for (const list of LISTS) {
      const put = [...sideItems(after, list)] as AnyPut[];
      for (const [index, given] of (items[list] ?? []).entries()) {
        const item = itemWhole(given, after);
        if (!item) {
          return editProblem(
            'area-open',
            `“${given.name}” has neither a rectangle nor an outline (${list}[${index}]).`,
            'Give it a rect, or an outline of three corners or more.',
          );
        }
        const at = put.findIndex(({ id, name }) =>
          item.id === undefined ? name === item.name : id === item.id,
        );
        const id = item.id ?? put[at]?.id ?? fresh(PREFIX[list]);
        if (at >= 0) put[at] = { ...item, id };
        else put.push({ ...item, id });
      }
      if (items[list]) after = { ...after, [list]: put };
    }
    return resultOk({ ...after, layout: layoutWithLines(side, after) });
  });
}

interface AnyPut {
  readonly id?: string | undefined;
  readonly name: string;
}

type GivenItem = NonNullable<ItemsToPut[PutList]>[number];

/** Undefined where it has no position. */
function itemWhole(item: GivenItem, side: Side): AnyPut | undefined {
  if ('gap' in item) {
    const handle = side.noFilmAreas.find(({ name }) => name === item.handle);
    return handle ? Object.assign({}, item, { handle: handle.id }) : item;
  }
  if ('direction' in item) return item;
  if (!item.outline) return item.rect && item;
  const { outline: _, ...plain } = item;
  return { ...plain, ...areaFromPoints(item.outline.map(({ xMm, yMm }) => ({ x: xMm, y: yMm }))) };
}
