/** What the shop keeps for its next job, beside the jobs: it lies in the same database and goes into every backup. */
import {
  type ShopItem,
  type ShopItems,
  shopItemId,
  shopItemsFromStored,
} from '../../core/contract/shop-items.ts';
import type { Shelf } from './port.ts';
import type { Store } from './store.ts';

export class SqliteShelf implements Shelf {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async items(): Promise<ShopItems> {
    const rows = await this.#store.read((db) =>
      db
        .prepare<[], { kind: string; content: string }>(
          'SELECT kind, content FROM shop_items ORDER BY kept_at DESC, id',
        )
        .all(),
    );
    return shopItemsFromStored(rows);
  }

  async keep(item: ShopItem, now: string): Promise<void> {
    await this.#store.write((db) =>
      db
        .prepare(
          `INSERT INTO shop_items (kind, id, content, kept_at) VALUES (?, ?, ?, ?)
           ON CONFLICT (kind, id) DO UPDATE SET content = excluded.content, kept_at = excluded.kept_at`,
        )
        .run(item.kind, shopItemId(item), JSON.stringify(item.value), now),
    );
  }

  async remove(kind: ShopItem['kind'], id: string): Promise<void> {
    await this.#store.write((db) =>
      db.prepare('DELETE FROM shop_items WHERE kind = ? AND id = ?').run(kind, id),
    );
  }
}
