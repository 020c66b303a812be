/**
 * Items that a shop stores across jobs: its profile, saved layouts of vehicles, films and laminates from their data
 * sheets, nestings shared by jobs.
 */
import { z } from 'zod';
import { SavedLayout } from '../job/edits/saved-layout.ts';
import { ShopProfile } from '../job/shop-profile.ts';
import { SharedRollRecord } from '../production/shared-roll-record.ts';
import { ShelfItem } from '../shop/shelf.ts';

export const ShopItem = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('saved-layout'), value: SavedLayout }),
  z.strictObject({ kind: z.literal('material'), value: ShelfItem }),
  z.strictObject({ kind: z.literal('shared-rolls'), value: SharedRollRecord }),
  z.strictObject({ kind: z.literal('profile'), value: ShopProfile }),
]);
export type ShopItem = z.infer<typeof ShopItem>;

export const ShopItemKind = z.union(ShopItem.options.map(({ shape }) => shape.kind));

export const ShopItems = z.strictObject({
  savedLayouts: z.array(SavedLayout),
  materials: z.array(ShelfItem),
  sharedRolls: z.array(SharedRollRecord),
  /** Revision count of each shared roll plan, by its id. */
  sharedRollRevisions: z.record(z.string(), z.number().int().positive()),
  /** Starting values of new jobs; absent until the shop is set up or the questions are skipped. */
  profile: ShopProfile.optional(),
});
export type ShopItems = z.infer<typeof ShopItems>;

/** There is one shop. */
const PROFILE_ID = 'shop';

/** A saved layout is identified by its name, so saving it again replaces the earlier one. */
export function shopItemId(item: ShopItem): string {
  switch (item.kind) {
    case 'saved-layout':
      return item.value.name;
    case 'profile':
      return PROFILE_ID;
    default:
      return item.value.id;
  }
}

/** An item that cannot be read, such as one of a later version, does not affect the others. */
export function shopItemsFromStored(
  rows: readonly { readonly kind: string; readonly content: string; readonly revision: number }[],
): ShopItems {
  const sharedRollRevisions: Record<string, number> = {};
  const items = rows.flatMap(({ kind, content, revision }) => {
    const item = ShopItem.safeParse({ kind, value: jsonRead(content) });
    if (!item.success) return [];
    if (item.data.kind === 'shared-rolls') sharedRollRevisions[item.data.value.id] = revision;
    return [item.data];
  });
  const profile = items.find((item) => item.kind === 'profile');
  return {
    ...(profile && { profile: profile.value }),
    savedLayouts: items.flatMap((item) => (item.kind === 'saved-layout' ? [item.value] : [])),
    materials: items.flatMap((item) => (item.kind === 'material' ? [item.value] : [])),
    sharedRolls: items.flatMap((item) => (item.kind === 'shared-rolls' ? [item.value] : [])),
    sharedRollRevisions,
  };
}

function jsonRead(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
