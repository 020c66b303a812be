/** The films and laminates that this shop has entered, kept on this machine for the next job. */
import { signal } from '@preact/signals';
import { z } from 'zod';
import { ShelfItem } from '../../core/production/shelf.ts';

const KEY = 'panelwright-shelf';
/** More than a shop stocks; keeps the storage small. */
const MOST_ITEMS = 200;

function stored(): readonly ShelfItem[] {
  try {
    // One item that cannot be read must not take the others with it.
    const list = z.array(z.unknown()).parse(JSON.parse(localStorage.getItem(KEY) ?? '[]'));
    return list.flatMap((given) => {
      const item = ShelfItem.safeParse(given);
      return item.success ? [item.data] : [];
    });
  } catch {
    return [];
  }
}

export const shelf = signal<readonly ShelfItem[]>(stored());

/** Puts an item on the shelf, in place of an earlier state of it. */
export function shelfPut(item: ShelfItem): void {
  const others = shelf.value.filter(({ id }) => id !== item.id);
  shelfKept([item, ...others].slice(0, MOST_ITEMS));
}

export function shelfTake(id: string): void {
  shelfKept(shelf.value.filter((item) => item.id !== id));
}

function shelfKept(items: readonly ShelfItem[]): void {
  shelf.value = items;
  localStorage.setItem(KEY, JSON.stringify(items));
}
