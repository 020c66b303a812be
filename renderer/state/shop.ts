/** What the shop keeps from job to job, as the archive has it. */
import { signal } from '@preact/signals';
import { type ShopItem, type ShopItems, shopItemId } from '../../core/contract/shop-items.ts';
import { ask } from '../client/client.ts';
import { showProblem } from './notices.ts';

export const shopItems = signal<ShopItems>({ savedLayouts: [], materials: [], sharedRolls: [] });

export async function keepShopItem(item: ShopItem): Promise<boolean> {
  const kept = await ask('shop:keep', { item });
  if (kept.ok) shopItems.value = kept.value;
  else showProblem(kept.problem);
  return kept.ok;
}

export async function forgetShopItem(item: ShopItem): Promise<void> {
  const left = await ask('shop:remove', { kind: item.kind, id: shopItemId(item) });
  if (left.ok) shopItems.value = left.value;
  else showProblem(left.problem);
}

/** Reads what there is; called once. */
export async function readShopItems(): Promise<void> {
  const items = await ask('shop:list', {});
  if (!items.ok) return showProblem(items.problem);
  shopItems.value = items.value;
}
