import { shopDefaults } from '../../core/job/shop-defaults.ts';
import type { Archive } from '../../main/archive/port.ts';

/** A metric shop, so that no setup is asked for and lengths are those of the tests. */
export async function keepTestShop({ shelf }: Archive): Promise<void> {
  const kept = await shelf.keep({ kind: 'profile', value: shopDefaults('en-GB') }, '2026-03-09T07:00:00Z');
  if (!kept.ok) throw new Error(kept.problem.message);
}
