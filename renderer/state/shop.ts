/** What the shop keeps from job to job, as the archive has it. */
import { signal } from '@preact/signals';
import { type ShopItem, type ShopItems, shopItemId } from '../../core/contract/shop-items.ts';
import { ask } from '../client/client.ts';
import { problemShown } from './notices.ts';

export const shopItems = signal<ShopItems>({ savedLayouts: [], materials: [], sharedRolls: [] });

export async function shopItemKept(item: ShopItem): Promise<boolean> {
  const kept = await ask('shop:keep', { item });
  if (kept.ok) shopItems.value = kept.value;
  else problemShown(kept.problem);
  return kept.ok;
}

export async function shopItemForgotten(item: ShopItem): Promise<void> {
  const left = await ask('shop:remove', { kind: item.kind, id: shopItemId(item) });
  if (left.ok) shopItems.value = left.value;
  else problemShown(left.problem);
}

/** Reads what there is; called once. */
export async function shopItemsRead(): Promise<void> {
  const items = await ask('shop:list', {});
  if (!items.ok) return problemShown(items.problem);
  shopItems.value = items.value;
}
