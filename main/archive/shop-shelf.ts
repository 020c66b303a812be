/** What the shop keeps for its next job, beside the jobs: it lies in the same database and goes into every backup. */
import type Database from 'better-sqlite3';
import {
  type ShopItem,
  type ShopItems,
  shopItemId,
  shopItemsFromStored,
} from '../../core/contract/shop-items.ts';

export class ShopShelf {
  readonly #db: Database.Database;

  constructor(db: Database.Database) {
    this.#db = db;
  }

  /** The latest first. */
  items(): ShopItems {
    const rows = this.#db.prepare('SELECT kind, content FROM shop_items ORDER BY kept_at DESC, id').all() as {
      readonly kind: string;
      readonly content: string;
    }[];
    return shopItemsFromStored(rows);
  }

  /** Puts an item on the shelf, in place of an earlier state of it. */
  keep(item: ShopItem, now: string): void {
    this.#db
      .prepare(
        `INSERT INTO shop_items (kind, id, content, kept_at) VALUES (?, ?, ?, ?)
         ON CONFLICT (kind, id) DO UPDATE SET content = excluded.content, kept_at = excluded.kept_at`,
      )
      .run(item.kind, shopItemId(item), JSON.stringify(item.value), now);
  }

  forget(kind: ShopItem['kind'], id: string): void {
    this.#db.prepare('DELETE FROM shop_items WHERE kind = ? AND id = ?').run(kind, id);
  }
}
