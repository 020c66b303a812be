/** Receives rolls for the shelf, and changes the facts of rolls on it. */
import { randomUUID } from 'node:crypto';
import { schemaSentence } from '../../core/job/schema-sentence.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { StockFacts, StockLength, type StockRoll } from '../../core/shop/stock-roll.ts';
import type { EntryBy } from './move-film.ts';
import type { ActParts } from './service-parts.ts';

type Parts = Pick<ActParts, 'archive' | 'now'>;

export async function receiveRoll(
  { archive, now }: Parts,
  { facts, lengthMm, by, unit }: EntryBy & { readonly facts: StockFacts; readonly lengthMm: number },
): Promise<Result<StockRoll>> {
  const right = factsRead(facts, now());
  if (!right.ok) return right;
  if (!StockLength.safeParse(lengthMm).success) return resultProblem(noLength);
  return await archive.stock.receive(randomUUID(), right.value, lengthMm, { at: now(), by, unit });
}

export async function changeRoll(
  { archive, now }: Parts,
  { rollId, facts, by, unit }: EntryBy & { readonly rollId: string; readonly facts: StockFacts },
): Promise<Result<StockRoll>> {
  const right = factsRead(facts, now());
  if (!right.ok) return right;
  return await archive.stock.change(rollId, right.value, { at: now(), by, unit });
}

function factsRead(given: StockFacts, now: string): Result<StockFacts> {
  const facts = StockFacts.safeParse(given);
  if (!facts.success) {
    return resultProblem({
      code: 'stock-invalid',
      message: `This roll cannot be kept: ${schemaSentence(facts.error, given)}`,
      remedy: 'Enter its material, its roll number and its true width.',
    });
  }
  const wrong = datesProblem(facts.data, now);
  return wrong ? resultProblem(wrong) : resultOk(facts.data);
}

const noLength: Problem = {
  code: 'stock-no-length',
  message: 'A roll comes in with film on it.',
  remedy: 'Enter the length that is on the roll, at most 1,000 m.',
};

const HOUR_MS = 3_600_000;

function datesProblem({ receivedOn, useBy }: StockFacts, now: string): Problem | undefined {
  // The day may have begun already where the shop is, but nowhere the day after it.
  const latest = new Date(Date.parse(now) + 14 * HOUR_MS).toISOString().slice(0, 10);
  if (receivedOn > latest) {
    return {
      code: 'stock-received-later',
      message: `${receivedOn} has not come yet, so no roll was received then.`,
      remedy: 'Enter the day on which the roll came in.',
    };
  }
  if (useBy === undefined || useBy >= receivedOn) return undefined;
  return {
    code: 'stock-use-by-early',
    message: `The roll would be past its use by date, ${useBy}, before it was received on ${receivedOn}.`,
    remedy: 'Read both dates again, from the label of the maker and from the delivery note.',
  };
}
