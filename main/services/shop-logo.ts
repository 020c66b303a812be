import type { ShopLogo } from '../../core/job/shop-profile.ts';
import type { Archive } from '../archive/port.ts';

/** For the title blocks of sheets; undefined where the shop has none. */
export const shopLogo = async ({ shelf }: Archive): Promise<ShopLogo | undefined> =>
  (await shelf.items()).profile?.logo;
