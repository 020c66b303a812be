/** What a job really took, entered once after installation, with the estimate for comparison. */
import { z } from 'zod';

export const REPRINT_REASONS = [
  'color',
  'shop-damage',
  'vehicle-damage',
  'wrong-size',
  'customer-change',
  'other',
] as const;
export type ReprintReason = (typeof REPRINT_REASONS)[number];

export const REPRINT_REASON_NAMES: Readonly<Record<ReprintReason, string>> = {
  color: 'color',
  'shop-damage': 'damage in the shop',
  'vehicle-damage': 'damage on the vehicle',
  'wrong-size': 'wrong size',
  'customer-change': 'customer change',
  other: 'other',
};

/** Who pays for a reprinted panel. */
export const PAYERS = ['shop', 'customer', 'supplier', 'installer'] as const;
export type Payer = (typeof PAYERS)[number];

export const ACTUAL_STEPS = ['printing', 'lamination', 'trimming', 'packing'] as const;
export type ActualStep = (typeof ACTUAL_STEPS)[number];

const hours = z.number().nonnegative().max(10_000);

export const PanelReprinted = z.strictObject({
  panel: z.string().min(1).max(100),
  reason: z.enum(REPRINT_REASONS),
  paidBy: z.enum(PAYERS),
  on: z.iso.date(),
});
export type PanelReprinted = z.infer<typeof PanelReprinted>;

/** As entered; figures that were not counted are absent. */
export const JobActuals = z.strictObject({
  /** Printed length of film, reprints included. */
  filmM: z.number().nonnegative().max(100_000).optional(),
  /** Sum over all people. */
  installHours: hours.optional(),
  stepHours: z
    .strictObject({ printing: hours, lamination: hours, trimming: hours, packing: hours })
    .partial()
    .optional(),
  reprints: z.array(PanelReprinted).max(500),
  note: z.string().max(2000).optional(),
});
export type JobActuals = z.infer<typeof JobActuals>;

/** The estimate at the time of entry, with the figures used for it: later figures would change it. */
export const JobEstimated = z.strictObject({
  filmM: z.number(),
  panels: z.number().int().nonnegative(),
  rolls: z.number().int().nonnegative(),
  /** Number of times that the laminator is started; absent: once per roll. */
  laminations: z.number().int().nonnegative().optional(),
  filmPassedM2: z.number(),
  laminateM: z.number(),
  surfaceM2: z.number(),
  minutes: z.strictObject({
    printing: z.number(),
    lamination: z.number(),
    trimming: z.number(),
    packing: z.number(),
    installing: z.number().optional(),
  }),
  printSetupMinutes: z.number(),
  laminationSetupMinutes: z.number(),
  installMinutesPerM2: z.number(),
});
export type JobEstimated = z.infer<typeof JobEstimated>;

/** A reprint with its film by the size of its panel, and the cost of film and laminate of that size. */
export const ReprintCounted = PanelReprinted.extend({
  areaM2: z.number().nonnegative(),
  cents: z.number().int().nonnegative(),
});
export type ReprintCounted = z.infer<typeof ReprintCounted>;

/** As stored in the archive. */
export const KeptActuals = z.strictObject({
  actuals: JobActuals,
  estimated: JobEstimated,
  reprints: z.array(ReprintCounted),
  currency: z.string(),
  enteredOn: z.iso.date(),
});
export type KeptActuals = z.infer<typeof KeptActuals>;

/** Actuals of one job, for reports. */
export interface JobTook extends KeptActuals {
  readonly jobId: string;
  readonly number: string;
  readonly customer: string;
}
