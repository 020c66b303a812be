/** Film that goes off a roll other than by printing, and what was counted on one. */
import type { Result } from '../../core/measure/result.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import type { MovementEntry } from '../archive/port.ts';
import type { ActParts } from './service-parts.ts';

/** Who enters something. */
export type EntryBy = Omit<MovementEntry, 'at'>;

type Parts = Pick<ActParts, 'archive' | 'now'>;

export const correctRoll = async (
  { archive, now }: Parts,
  {
    rollId,
    countedMm,
    note,
    ...entry
  }: EntryBy & { readonly rollId: string; readonly countedMm: number; readonly note: string },
): Promise<Result<StockRoll>> =>
  await archive.stock.move(
    { rollId, kind: 'corrected', length: { countedMm }, note },
    { at: now(), ...entry },
  );

export const scrapFilm = async (
  { archive, now }: Parts,
  {
    rollId,
    lengthMm,
    note,
    ...entry
  }: EntryBy & { readonly rollId: string; readonly lengthMm: number; readonly note: string },
): Promise<Result<StockRoll>> =>
  await archive.stock.move(
    { rollId, kind: 'scrapped', length: { offMm: lengthMm }, note },
    { at: now(), ...entry },
  );

export const undoMovement = async (
  { archive, now }: Parts,
  { movementId, note, ...entry }: EntryBy & { readonly movementId: number; readonly note: string },
): Promise<Result<StockRoll>> => await archive.stock.undo(movementId, note, { at: now(), ...entry });
