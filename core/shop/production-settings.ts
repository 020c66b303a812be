/** What production needs to know of a job beyond its panels: materials as bought, ink, times, the shop's figures. */
import { z } from 'zod';
import { DEFAULT_LABOUR_PER_HOUR } from './cost-card.ts';
import { FillItem, MOST_FILL_ITEMS } from './fill-item.ts';
import { InkKind } from './ink-kind.ts';
import { LocalDateTime } from './local-date-time.ts';
import { Override } from './override.ts';
import { DEFAULT_ROLL_RULES, LaminateRoll, RollPlacement, RollRules, RollStock } from './rolls.ts';
import { ShelfFilm, ShelfLaminate } from './shelf.ts';
import { ShopFigures } from './shop-figures.ts';
import { DEFAULT_WORKING_HOURS, WorkingHours } from './working-hours.ts';

/** Where vehicles are while film is installed. */
export const MOST_BAYS = 50;

const hours = z.number().nonnegative().max(10_000);

export const ProductionSettings = z.strictObject({
  /** The film and laminate from the shelf; absent until they are selected. */
  film: ShelfFilm.optional(),
  laminate: ShelfLaminate.optional(),
  orderedFinish: z.string().max(200),
  /** Life promised to the customer. */
  promisedYears: z.number().positive().max(50).optional(),
  overrides: z.array(Override),
  ink: InkKind,
  /** Heaviest and mean total area coverage, where they were measured, for instance with the RIP. */
  worstCoveragePercent: z.number().positive().max(1600).optional(),
  meanCoveragePercent: z.number().positive().max(1600).optional(),
  printStart: LocalDateTime.optional(),
  /** Lamination waits for it; absent: it begins as soon as the film is dry. */
  laminateStart: LocalDateTime.optional(),
  /** The start of the installation that the customer was promised. */
  promised: LocalDateTime.optional(),
  /** When the shop means to begin the installation; absent: as promised, or as soon as it can. */
  installStart: LocalDateTime.optional(),
  /** Number of the bay; absent: the first that is free. */
  bay: z.number().int().min(1).max(MOST_BAYS).optional(),
  restHours: hours,
  transportHours: hours,
  workingHours: WorkingHours,
  /** Whether the printer stops outside working hours; absent: it runs on through the night. */
  printsAttended: z.literal(true).optional(),
  /** Rolls in stock; empty: as many full rolls as needed, as the printer's settings describe them. */
  rolls: z.array(RollStock),
  /** Rolls of laminate that were taken from the shelf; absent: none was. */
  laminateRolls: z.array(LaminateRoll).optional(),
  rules: RollRules.pick({ gapMm: true, sideOnOneRoll: true, sideInOneDirection: true, printOrder: true }),
  mayTurn: z.boolean(),
  /** Panels of vehicles that are alike: all nested together (absent: this), or one vehicle after the other. */
  fleetOrder: z.enum(['together', 'set-by-set']).optional(),
  /** Panels that the operator has put in a place of their own. */
  locked: z.array(RollPlacement),
  /** Small pieces that print in the waste beside panels; absent: none. */
  fill: z.array(FillItem).max(MOST_FILL_ITEMS).optional(),
  figures: ShopFigures,
});
export type ProductionSettings = z.infer<typeof ProductionSettings>;

/** The part that belongs to a film: of each further film of a job it is kept apart. */
export const FilmProductionSettings = ProductionSettings.pick({
  film: true,
  laminate: true,
  overrides: true,
  ink: true,
  worstCoveragePercent: true,
  meanCoveragePercent: true,
  printStart: true,
  laminateStart: true,
  rolls: true,
  laminateRolls: true,
  locked: true,
  fill: true,
}).partial();
export type FilmProductionSettings = z.infer<typeof FilmProductionSettings>;

/** What production of a new job begins with: the part of its settings that belongs to the shop. */
export const ProductionDefaults = ProductionSettings.pick({
  ink: true,
  restHours: true,
  transportHours: true,
  workingHours: true,
  printsAttended: true,
  rules: true,
  mayTurn: true,
  fleetOrder: true,
  figures: true,
});
export type ProductionDefaults = z.infer<typeof ProductionDefaults>;

/** Estimates from memory, to be replaced by the shop's own figures. */
export const DEFAULT_SHOP_FIGURES: ShopFigures = {
  inkMlPerM2: 8,
  inkPricePerLitre: 120,
  printM2PerHour: 15,
  printSetupMinutes: 20,
  laminationMetersPerHour: 60,
  laminationSetupMinutes: 15,
  laminateLossMm: 1500,
  trimMinutesPerPanel: 4,
  packMinutesPerPanel: 3,
  laborPerHour: DEFAULT_LABOUR_PER_HOUR,
  currency: 'EUR',
};

const { gapMm, sideOnOneRoll, sideInOneDirection, printOrder } = DEFAULT_ROLL_RULES;

/** Common practice, no source: solvent inks, a day of rest after lamination, half a day on the road. */
export const DEFAULT_PRODUCTION: ProductionSettings = {
  orderedFinish: '',
  overrides: [],
  ink: 'eco-solvent',
  restHours: 24,
  transportHours: 4,
  workingHours: DEFAULT_WORKING_HOURS,
  rolls: [],
  rules: { gapMm, sideOnOneRoll, sideInOneDirection, printOrder },
  mayTurn: true,
  locked: [],
  figures: DEFAULT_SHOP_FIGURES,
};
