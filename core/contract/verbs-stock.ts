/** Rolls on the shelf and their ledger. */
import { z } from 'zod';
import { Job } from '../job/schema.ts';
import { ShopProfile } from '../job/shop-profile.ts';
import { OutputRolls } from '../production/output-rolls.ts';
import { RollOffers } from '../production/roll-offers.ts';
import { FillItem } from '../shop/fill-item.ts';
import { StockFacts, StockLength, StockMovement, StockRoll } from '../shop/stock-roll.ts';
import { OutputSummary } from './output-summary.ts';
import { id, token, type Verb } from './parts.ts';

/** Who enters something, and what sentences give lengths in. */
const entry = { by: z.string().max(200), unit: z.enum(['mm', 'in']) };
const note = z.string().max(500);
/** The answer to the question whether a roll may come out below zero. */
const isBelowZeroAllowed = z.boolean().optional();
const movementId = z.number().int().positive();

const outputId = z.number().int().positive();

/** What an output took off one roll. */
export const RollTaken = z.strictObject({
  rollId: id,
  kind: z.enum(['printed', 'laminated']),
  lengthMm: StockLength,
  /** A print each; of a fleet that prints set by set with its vehicle, see printed-panels.ts. */
  panelLabels: z.array(z.string().max(400)).min(1).max(10_000),
  /** The roll is empty, even if the ledger says otherwise. */
  isUsedUp: z.boolean().optional(),
});
export type RollTaken = z.infer<typeof RollTaken>;

export const STOCK_VERBS = {
  /** All of them, those that were received last first. */
  'stock:list': { request: z.strictObject({}), reply: z.array(StockRoll) },
  /** A roll by its id or the code on its label, with its ledger, oldest entry first. */
  'stock:ledger': {
    request: z.strictObject({ roll: id }),
    reply: z.strictObject({ roll: StockRoll, movements: z.array(StockMovement) }),
  },
  'stock:receive': {
    request: z.strictObject({ facts: StockFacts, lengthMm: StockLength, ...entry }),
    reply: StockRoll,
  },
  /** Puts right what is known of a roll; its length is corrected by counting. */
  'stock:change': { request: z.strictObject({ rollId: id, facts: StockFacts, ...entry }), reply: StockRoll },
  /** What was measured on a roll; the ledger takes up the difference. */
  'stock:correct': {
    request: z.strictObject({
      rollId: id,
      countedMm: z.number().nonnegative().max(1_000_000),
      note,
      ...entry,
    }),
    reply: StockRoll,
  },
  'stock:scrap': {
    request: z.strictObject({ rollId: id, lengthMm: StockLength, note, isBelowZeroAllowed, ...entry }),
    reply: StockRoll,
  },
  /** Enters the counter-entry of a wrong one. */
  'stock:undo': {
    request: z.strictObject({ movementId, note, isBelowZeroAllowed, ...entry }),
    reply: StockRoll,
  },

  /** Saves labels of rolls as PDF, on the label sheets of the shop; `skip` labels are gone from the first sheet. */
  'stock:labels': {
    request: z.strictObject({
      rolls: z.array(id).min(1).max(1000),
      shop: ShopProfile,
      skip: z.number().int().nonnegative().max(1000),
      folder: token,
    }),
    reply: z.strictObject({ fileName: z.string() }),
  },
  /** Rolls of the shelf that the panels on a film of a job can be printed on and laminated with, the best first. */
  'stock:offers': { request: z.strictObject({ job: Job, filmId: id }), reply: RollOffers },
  /** Patches and reprints of the archive that wait to be printed on a film of a job, what is needed most first. */
  'fill:waiting': { request: z.strictObject({ job: Job, filmId: id }), reply: z.array(FillItem) },
  /** The rolls that an output takes as planned, and how often it was entered as printed already. */
  'stock:plan-printed': {
    request: z.strictObject({ outputId }),
    reply: z.strictObject({ ...OutputRolls.shape, printings: z.number().int().nonnegative() }),
  },
  /**
   * An output was printed: takes what was used off the rolls, all at once or nothing. Where it was entered already, it is
   * a further print or nothing is entered and the problem is `stock-printed-already`; `stock-printed-twice` where what
   * is entered takes a panel or a roll twice.
   */
  'stock:printed': {
    request: z.strictObject({
      outputId,
      rolls: z.array(RollTaken).min(1).max(200),
      /** When the last panel came off the printer, where it is to be kept with the output. */
      offPrinter: z.string().max(500).optional(),
      isFurtherPrint: z.boolean().optional(),
      /** A panel is on more rolls than it has prints, or a roll has several stretches, and that is right. */
      isTwiceAllowed: z.boolean().optional(),
      isBelowZeroAllowed,
      ...entry,
    }),
    reply: OutputSummary,
  },
} as const satisfies Record<string, Verb>;
