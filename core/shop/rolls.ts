/**
 * What is packed on what: rolls on the shelf, panels to print, the shop's rules. Lengths are film millimeters.
 *
 *       ◀──────── widthMm ────────▶
 *       ┌──┬───────────────────┬──┐ 0
 *       │  │     lead-in       │  │
 *       │  ├───────────────────┤  │ leadInMm        x across the film, from its left edge
 *       │  │  ┌─────┐ ┌────┐   │  │                 y along the film from its start, which is printed first
 *       │  │  │     │ │    │   │  │
 *       │  │  └─────┘ └────┘   │  │ ← last panel's end + tailMm = used length
 *       └──┴───────────────────┴──┘ usableLengthMm
 *        leftMarginMm         rightMarginMm
 */

import { z } from 'zod';
import { mmSchema } from '../measure/schemas.ts';

const MAX_FILM_MM = 1_000_000;
const positiveMm = z.number().positive().max(MAX_FILM_MM);
const lengthMm = z.number().nonnegative().max(MAX_FILM_MM);
const id = z.string().min(1).max(200);
/** Of a roll. */
export const MAX_LABEL = 200;

/** What a roll of a job is on the shelf of the shop. */
const OnShelf = z.strictObject({
  rollId: id,
  lotNumber: z.string().max(200),
  rollNumber: z.string().min(1).max(200),
  useBy: z.iso.date().optional(),
});

/** A roll of laminate that a job is to be laminated with. */
export const LaminateRoll = z.strictObject({
  label: z.string().min(1).max(MAX_LABEL),
  widthMm: positiveMm,
  usableLengthMm: positiveMm,
  onShelf: OnShelf,
});
export type LaminateRoll = z.infer<typeof LaminateRoll>;

export const RollStock = z.strictObject({
  id,
  /** What people call the roll: film, width, batch, place on the shelf. */
  label: z.string().min(1).max(MAX_LABEL),
  /** True width of the film, not its trade name: a 54 in roll is 1,371.6 mm. */
  widthMm: positiveMm,
  leftMarginMm: lengthMm,
  rightMarginMm: lengthMm,
  /** Film that is left on the roll and good to use, lead-in and tail included. */
  usableLengthMm: positiveMm,
  /** Film that passes before the first panel and after the last one. */
  leadInMm: lengthMm,
  tailMm: lengthMm,
  /** Absent where the roll was typed. */
  onShelf: OnShelf.optional(),
});
export type RollStock = z.infer<typeof RollStock>;

/** The place of a panel on a roll: the corner of its film nearest to the start and the left edge of the roll. */
export const RollPlace = z.strictObject({
  rollId: id,
  xMm: z.number(),
  yMm: z.number(),
  /**
   * Rotated by 90° clockwise: the panel's width runs along the roll and its top edge lies towards the right edge of
   * the film, while the top edge of an upright panel lies towards the start:
   *
   *     upright   ┌─top─┐     turned   ┌──────────t┐
   *               │     │              │          o│
   *               │     │              │          p│
   *               │     │              └───────────┘
   *               └─────┘
   */
  turned: z.boolean(),
});
export type RollPlace = z.infer<typeof RollPlace>;

/** One panel's place in a plan. */
export const RollPlacement = z.strictObject({ panelId: id, ...RollPlace.shape });
export type RollPlacement = z.infer<typeof RollPlacement>;

/** Derived from a job, so it has no limits of its own. */
export const PackItem = z.strictObject({
  panelId: z.string(),
  /** Panels of one side, of one job: they want one roll and one print direction. Unique across jobs. */
  sideId: z.string(),
  /** Of a fleet: the unit number of the vehicle that it is printed for. */
  unit: z.string().optional(),
  /** The panel's number as people read it, such as LH-03; with the unit number where a fleet is printed set by set. */
  label: z.string(),
  /** Film size, borders included. */
  widthMm: mmSchema,
  lengthMm: mmSchema,
  mayTurn: z.boolean(),
  /** Place in the install order of its side, from 1. */
  installOrder: z.number().int(),
  /** On which day of the installation; absent: the first. */
  installDay: z.number().int().optional(),
  /** Where the operator has put the panel to stay. */
  locked: RollPlace.optional(),
});
export type PackItem = z.infer<typeof PackItem>;

/** The panel of an item: `p4` of `job/p4`, and of `job/p4/2`, which is printed for the second vehicle of its type. */
export const itemPanelId = (panelId: string): string => panelId.split('/')[1] ?? panelId;

export const PrintOrder = z.enum(['first-installed-first', 'last-installed-first', 'any']);
export type PrintOrder = z.infer<typeof PrintOrder>;

export const RollRules = z.strictObject({
  /** Film between two panels, across and along. */
  gapMm: lengthMm,
  longestPrintMm: positiveMm,
  /**
   * By how much longer a file is sent than it shall print, to make up for the feed's error; negative where
   * prints come out long. An error of 5 %, the largest that a printer may have, takes 5.27 %.
   */
  feedCompensationPercent: z.number().min(-6).max(6),
  sideOnOneRoll: z.boolean(),
  sideInOneDirection: z.boolean(),
  printOrder: PrintOrder,
  /** What findings give lengths in. */
  unit: z.enum(['mm', 'in']),
});
export type RollRules = z.infer<typeof RollRules>;

/** Common practice, no source; the printer's own figures win. */
export const DEFAULT_GAP_MM = 15;
export const DEFAULT_LEAD_IN_MM = 200;
export const DEFAULT_TAIL_MM = 200;

export const DEFAULT_ROLL_RULES: RollRules = {
  gapMm: DEFAULT_GAP_MM,
  longestPrintMm: 30_000,
  feedCompensationPercent: 0,
  sideOnOneRoll: true,
  sideInOneDirection: true,
  printOrder: 'first-installed-first',
  unit: 'mm',
};
