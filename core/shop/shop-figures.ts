import { z } from 'zod';

const perHour = z.number().positive().max(100_000);
const minutes = z.number().nonnegative().max(100_000);
const price = z.number().nonnegative().max(1_000_000);

/** The shop's own figures. */
export const ShopFigures = z.strictObject({
  /** Ink for one square meter at 100 % coverage (one full plate). */
  inkMlPerM2: z.number().nonnegative().max(1000),
  inkPricePerLitre: price,
  /** Mean coverage of the shop's artwork, for estimates before there is any; absent: DEFAULT_USUAL_COVERAGE_PERCENT. */
  usualCoveragePercent: z.number().positive().max(1600).optional(),
  printM2PerHour: perHour,
  printSetupMinutes: minutes,
  laminationMetersPerHour: perHour,
  laminationSetupMinutes: minutes,
  /** Laminate that is lost at each start, in mm of its length. */
  laminateLossMm: z.number().nonnegative().max(100_000),
  trimMinutesPerPanel: minutes,
  packMinutesPerPanel: minutes,
  laborPerHour: price,
  /** How many people install film on one vehicle together; absent: DEFAULT_INSTALLERS. */
  installers: z.number().int().min(1).max(20).optional(),
  /** What the prices are in: EUR, USD … */
  currency: z.string().min(1).max(10),
});
export type ShopFigures = z.infer<typeof ShopFigures>;

/** From memory, no source: photographs and large colored grounds, white paper left out. */
export const DEFAULT_USUAL_COVERAGE_PERCENT = 150;

/** Common practice, no source. */
export const DEFAULT_INSTALLERS = 2;
