/** What the commands of the shelf share. */
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import type { Archive } from '../archive/port.ts';

export type Unit = 'mm' | 'in';

export interface EntryOptions {
  readonly by: string;
  readonly inches: boolean;
}

/** Rolls are longer than vehicles. */
export const ROLL_RANGE = { leastMm: 0, greatestMm: 1_000_000 };

export const unitOfShop = async ({ shelf }: Archive, locale: string, inches: boolean): Promise<Unit> =>
  inches ? 'in' : ((await shelf.items()).profile ?? shopDefaults(locale)).displayUnit;
