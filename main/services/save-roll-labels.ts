import type { ShopProfile } from '../../core/job/shop-profile.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { writeOwnDocument } from '../files/own-document.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

export const ROLL_LABELS_NAME = 'roll-labels.pdf';

/** Labels of rolls of the shelf; an earlier document of that name gives way. */
export async function saveRollLabels(
  { archive, work, now }: Pick<ActParts, 'archive' | 'work' | 'now'>,
  { rolls: wanted, shop, path, skip }: RollLabelOrder,
  tools: TaskTools,
): Promise<Result<void>> {
  const rolls: StockRoll[] = [];
  for (const idOrCode of wanted) {
    const roll = await archive.stock.find(idOrCode);
    if (!roll.ok) return roll;
    rolls.push(roll.value);
  }
  const drawn = await work.run('rollLabels', { rolls, shop, date: now().slice(0, 10), skip }, tools);
  if (!drawn.ok) return drawn;
  const written = await writeOwnDocument(path, drawn.value);
  return written.ok ? resultOk(undefined) : written;
}

interface RollLabelOrder {
  /** Ids or codes. */
  readonly rolls: readonly string[];
  /** On whose label sheets, in whose units. */
  readonly shop: ShopProfile;
  readonly path: string;
  /** Labels that are gone from the first sheet already. */
  readonly skip: number;
}
