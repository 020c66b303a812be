/** What the shop stores for its next jobs. It is in the same database as the jobs, and in every backup. */
import type { ShopItem, ShopItems } from '../../core/contract/shop-items.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ArchiveProblem, Shelf } from './port.ts';
import type { Sql, Store } from './sql.ts';

/** Loaded on demand: these schemas take a while to load, and most programs do not need them. */
const itemSchemas = () => import('../../core/contract/shop-items.ts');

export class StoredShelf implements Shelf {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async items(): Promise<ShopItems> {
    const { shopItemsFromStored } = await itemSchemas();
    return shopItemsFromStored(await this.#store.read(storedItems));
  }

  async keep(item: ShopItem, now: string, baseRevision?: number): Promise<Result<void, ArchiveProblem>> {
    const { shopItemId, shopItemsFromStored } = await itemSchemas();
    const { filmsOfRecord, isRecordOf } = await import('../../core/production/shared-roll-record.ts');
    return await this.#store.write(async (sql) => {
      if (baseRevision !== undefined && item.kind === 'shared-rolls') {
        const { sharedRolls, sharedRollRevisions } = shopItemsFromStored(await storedItems(sql));
        // Two windows that begin a plan for the same jobs give it two ids.
        const films = filmsOfRecord(item.value);
        const kept = sharedRolls.find((plan) => plan.id === item.value.id || isRecordOf(plan, films));
        if ((kept ? sharedRollRevisions[kept.id] : 0) !== baseRevision)
          return resultProblem(planChangedElsewhere);
      }
      await sql.run(
        `INSERT INTO shop_items (kind, id, content, kept_at, revision) VALUES (?, ?, ?, ?, 1)
         ON CONFLICT (kind, id) DO UPDATE SET
           content = excluded.content, kept_at = excluded.kept_at, revision = shop_items.revision + 1`,
        [item.kind, shopItemId(item), JSON.stringify(item.value), now],
      );
      return resultOk(undefined);
    });
  }

  async remove(kind: ShopItem['kind'], id: string): Promise<void> {
    await this.#store.write((sql) => sql.run('DELETE FROM shop_items WHERE kind = ? AND id = ?', [kind, id]));
  }
}

const storedItems = (sql: Sql) =>
  sql.all<{ kind: string; content: string; revision: number }>(
    'SELECT kind, content, revision FROM shop_items ORDER BY kept_at DESC, id',
  );

const planChangedElsewhere: ArchiveProblem = {
  code: 'plan-changed-elsewhere',
  message: 'Another window has changed this shared nesting. Nothing has been overwritten.',
  remedy: 'Open the nesting as it is kept, or keep this one in its place.',
};
