/** Items that the shop stores across jobs, as in the archive. */
import { computed, signal } from '@preact/signals';
import { type ShopItem, type ShopItems, shopItemId } from '../../core/contract/shop-items.ts';
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import type { ShopProfile } from '../../core/job/shop-profile.ts';
import type { Problem } from '../../core/measure/result.ts';
import { ask } from '../client/client.ts';
import { showProblem } from './notices.ts';

export const shopItems = signal<ShopItems>({
  savedLayouts: [],
  materials: [],
  sharedRolls: [],
  sharedRollRevisions: {},
});

/** Whether the archive had neither shop nor job when it was read. Only then are the first questions asked. */
const isArchiveNew = signal(false);
/** Skips the first-start questions until the program restarts, where the answer could not be saved. */
export const isFirstStartOver = signal(false);

/** The shop was not set up yet, and its questions were not skipped. */
export const isFirstStart = computed(
  () => isArchiveNew.value && !isFirstStartOver.value && shopItems.value.profile === undefined,
);

/** As the archive has it, else by the language and region of this machine. */
export const shopProfile = computed<ShopProfile>(
  () => shopItems.value.profile ?? shopDefaults(navigator.language),
);

/** Changes the shop's settings for new jobs; `undefined` removes a part. False where it could not be saved. */
export async function changeShop(
  change: {
    readonly [K in keyof ShopProfile]?: ShopProfile[K] | undefined;
  },
): Promise<boolean> {
  const parts = Object.entries({ ...shopProfile.value, ...change }).filter(([, part]) => part !== undefined);
  return await keepShopItem({ kind: 'profile', value: Object.fromEntries(parts) as ShopProfile });
}

export async function keepShopItem(item: ShopItem): Promise<boolean> {
  const problem = await tryKeeping(item);
  if (problem) showProblem(problem);
  return problem === undefined;
}

/** `baseRevision`: of the shared roll plan that this one replaces, see the contract. */
export async function tryKeeping(item: ShopItem, baseRevision?: number): Promise<Problem | undefined> {
  const kept = await ask('shop:keep', { item, ...(baseRevision !== undefined && { baseRevision }) });
  if (!kept.ok) return kept.problem;
  shopItems.value = kept.value;
  return undefined;
}

export async function forgetShopItem(item: ShopItem): Promise<void> {
  const left = await ask('shop:remove', { kind: item.kind, id: shopItemId(item) });
  if (left.ok) shopItems.value = left.value;
  else showProblem(left.problem);
}

/** What another window or seat has put on the shelf since. */
export async function readShopItemsAgain(): Promise<void> {
  const items = await ask('shop:list', {});
  if (items.ok && JSON.stringify(items.value) !== JSON.stringify(shopItems.value))
    shopItems.value = items.value;
}

/** Reads what there is; called once. */
export async function readShopItems(): Promise<void> {
  const items = await ask('shop:list', {});
  if (!items.ok) return showProblem(items.problem);
  shopItems.value = items.value;
  if (items.value.profile) return;
  const jobs = await ask('job:list', { limit: 1 });
  isArchiveNew.value = jobs.ok && jobs.value.total === 0;
}
