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

/** The person who makes an entry, and the length unit for sentences. */
const entry = { by: z.string().max(200), unit: z.enum(['mm', 'in']) };
const note = z.string().max(500);
/** Confirms that a roll may fall below zero. */
const isBelowZeroAllowed = z.boolean().optional();
const movementId = z.number().int().positive();

const outputId = z.number().int().positive();

/** Usage of one roll by an output. */
export const RollTaken = z.strictObject({
  rollId: id,
  kind: z.enum(['printed', 'laminated']),
  lengthMm: StockLength,
  /** One item per print; in a fleet that prints set by set with its vehicle, see printed-panels.ts. */
  panelLabels: z.array(z.string().max(400)).min(1).max(10_000),
  /** The roll is empty, even if the ledger shows film. */
  isUsedUp: z.boolean().optional(),
});
export type RollTaken = z.infer<typeof RollTaken>;

export const STOCK_VERBS = {
  /** All rolls, most recently received first. */
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
  /** Corrects the data of a roll; its length is corrected by a count. */
  'stock:change': { request: z.strictObject({ rollId: id, facts: StockFacts, ...entry }), reply: StockRoll },
  /** A measured length of a roll; the ledger enters the difference. */
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
  /** Enters the reversal of a wrong entry. */
  'stock:undo': {
    request: z.strictObject({ movementId, note, isBelowZeroAllowed, ...entry }),
    reply: StockRoll,
  },

  /**
   * Saves labels of rolls as PDF, on the shop's label sheets; the first `skip` labels of the first sheet are already
   * used.
   */
  'stock:labels': {
    request: z.strictObject({
      rolls: z.array(id).min(1).max(1000),
      shop: ShopProfile,
      skip: z.number().int().nonnegative().max(1000),
      folder: token,
    }),
    reply: z.strictObject({ fileName: z.string() }),
  },
  /** Shelf rolls that fit the panels on a film of a job, for printing and laminating, best first. */
  'stock:offers': { request: z.strictObject({ job: Job, filmId: id }), reply: RollOffers },
  /** Patches and reprints in the archive that wait to be printed on a film of a job, most urgent first. */
  'fill:waiting': { request: z.strictObject({ job: Job, filmId: id }), reply: z.array(FillItem) },
  /** The rolls that an output uses as planned, and how often its printing was entered already. */
  'stock:plan-printed': {
    request: z.strictObject({ outputId }),
    reply: z.strictObject({ ...OutputRolls.shape, printings: z.number().int().nonnegative() }),
  },
  /**
   * Enters the printing of an output: all usage is taken off the rolls, or nothing is. Where it was entered before, it
   * must be marked as a further print, else the problem is `stock-printed-already`. The problem is
   * `stock-printed-twice` where an entry uses a panel or a roll twice.
   */
  'stock:printed': {
    request: z.strictObject({
      outputId,
      rolls: z.array(RollTaken).min(1).max(200),
      /** When the last panel came off the printer, if it should be stored with the output. */
      offPrinter: z.string().max(500).optional(),
      isFurtherPrint: z.boolean().optional(),
      /** Confirms that a panel is on more rolls than it has prints, or that a roll has several stretches. */
      isTwiceAllowed: z.boolean().optional(),
      isBelowZeroAllowed,
      ...entry,
    }),
    reply: OutputSummary,
  },
} as const satisfies Record<string, Verb>;
