/** What the shop keeps from job to job, as the archive has it. */
import { signal } from '@preact/signals';
import { ShopItem, type ShopItems, shopItemId } from '../../core/contract/shop-items.ts';
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
  for (const kind of ['saved-layout', 'material'] as const) await carriedOver(kind);
}

/** Where earlier versions kept them: in the browser. */
const FORMER_KEYS = { savedLayout: 'panelwright-patterns', material: 'panelwright-shelf' } as const;

/** Brings into the archive what an earlier version left in the browser; what the archive has already stays. */
async function carriedOver(kind: keyof typeof FORMER_KEYS): Promise<void> {
  const key = FORMER_KEYS[kind];
  const former = formerItems(kind, localStorage.getItem(key));
  if (former.length === 0) return;
  const { savedLayouts, materials } = shopItems.value;
  const known = new Set(
    kind === 'saved-layout' ? savedLayouts.map(({ name }) => name) : materials.map(({ id }) => id),
  );
  // The latest was kept first there.
  for (const item of former.toReversed()) {
    if (!known.has(shopItemId(item)) && !(await shopItemKept(item))) return;
  }
  localStorage.removeItem(key);
}

function formerItems(kind: ShopItem['kind'], text: string | null): readonly ShopItem[] {
  try {
    const list: unknown = JSON.parse(text ?? '[]');
    return (Array.isArray(list) ? list : []).flatMap((value: unknown) => {
      const item = ShopItem.safeParse({ kind, value });
      return item.success ? [item.data] : [];
    });
  } catch {
    return [];
  }
}
