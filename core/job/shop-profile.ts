/**
 * The shop: its name for the sheets, its machines, and its way of working. It is one record in the archive; a new job
 * begins with it and can later show its differences.
 */
import { z } from 'zod';
import { firstOf, itemAt } from '../measure/present.ts';
import { Allowances } from '../shop/allowances.ts';
import { ArtworkLimits } from '../shop/artwork-limits.ts';
import { costCardSchema } from '../shop/cost-card.ts';
import { DateOrder } from '../shop/date-order.ts';
import { Prices } from '../shop/prices.ts';
import { MOST_BAYS, ProductionDefaults } from '../shop/production-settings.ts';
import { SideNames } from '../shop/side-names.ts';
import { Film, type Job, Output, Printer, SheetSettings, ShopLimits } from './schema.ts';

const text = z.string().max(2000);

/** Large enough for the title block of the largest sheet. */
export const LOGO_LIMITS = { widthPx: 480, heightPx: 160 };

/**
 * Pixels on white, three bytes each, row by row. The screens decode the picture file, so that the program that writes
 * sheets never has to.
 */
export const ShopLogo = z
  .strictObject({
    rgbBase64: z.base64(),
    widthPx: z.number().int().positive().max(LOGO_LIMITS.widthPx),
    heightPx: z.number().int().positive().max(LOGO_LIMITS.heightPx),
  })
  .refine(
    // Three bytes are four base64 characters.
    ({ rgbBase64, widthPx, heightPx }) => rgbBase64.length === widthPx * heightPx * 4,
    'a logo has three bytes for each pixel',
  );
export type ShopLogo = z.infer<typeof ShopLogo>;

const { rollWidthMm, ...printer } = Printer.shape;
const MOST_ROLLS = 10;
/** Widths nearer than this belong to one roll. */
export const SAME_ROLL_MM = 0.5;

/** A printer with the rolls loaded in it. */
export const ShopPrinter = z.strictObject({
  ...printer,
  /** True widths, the usual one first. */
  rollWidthsMm: z.array(rollWidthMm).min(1).max(MOST_ROLLS),
});
export type ShopPrinter = z.infer<typeof ShopPrinter>;

export const ShopProfile = z.strictObject({
  format: z.literal('panelwright-shop'),
  name: text,
  address: text,
  phone: text,
  logo: ShopLogo.optional(),
  displayUnit: z.enum(['mm', 'in']),
  dateOrder: DateOrder,
  sideNames: SideNames,
  preparedBy: text,
  /** Whether the question about title blocks was answered or skipped; it is asked only once. */
  isTitleBlockSkipped: z.boolean().optional(),
  /** The first one is used for new jobs. */
  printers: z.array(ShopPrinter).min(1).max(20),
  film: Film,
  laminate: Film.optional(),
  allowances: Allowances,
  output: Output,
  /** Absent: every kind of page, on the paper of the install map. */
  sheets: SheetSettings.optional(),
  limits: ShopLimits,
  /** Absent: common practice. */
  artworkLimits: ArtworkLimits.optional(),
  /** Absent: estimates. */
  costCard: costCardSchema.optional(),
  /** Absent: estimates. */
  prices: Prices.optional(),
  production: ProductionDefaults,
  /** Other machines; absent: one of each. */
  laminators: z.number().int().min(1).max(20).optional(),
  bays: z.number().int().min(1).max(MOST_BAYS).optional(),
});
export type ShopProfile = z.infer<typeof ShopProfile>;

/** A printer with one of its rolls, as stored in a job. */
export const printerOfJob = (
  { rollWidthsMm, ...rest }: ShopPrinter,
  widthMm: number = firstOf(rollWidthsMm),
): Printer => ({ ...rest, rollWidthMm: widthMm });

/** Widths of the other rolls that the shop has for a job's printer; none where the shop does not have that printer. */
export const otherRollWidths = (
  { printers }: { readonly printers: readonly ShopPrinter[] },
  { name, rollWidthMm }: Printer,
): readonly number[] =>
  (printers.find((printer) => printer.name === name)?.rollWidthsMm ?? []).filter(
    (mm) => Math.abs(mm - rollWidthMm) >= SAME_ROLL_MM,
  );

/** The part of a job that comes from the shop. */
export type JobStart = Pick<
  Job,
  | 'shop'
  | 'displayUnit'
  | 'dateOrder'
  | 'sideNames'
  | 'preparedBy'
  | 'film'
  | 'laminate'
  | 'printer'
  | 'output'
  | 'sheets'
  | 'limits'
  | 'allowances'
  | 'artworkLimits'
  | 'costCard'
  | 'prices'
  | 'productionDefaults'
>;

/** Starting values of a new job. */
export function jobStart(profile: ShopProfile): JobStart {
  const { name, address, phone, laminate, sheets, artworkLimits, costCard, prices } = profile;
  return {
    ...(name.trim() !== '' && { shop: { name, address, phone } }),
    displayUnit: profile.displayUnit,
    dateOrder: profile.dateOrder,
    sideNames: profile.sideNames,
    preparedBy: profile.preparedBy,
    film: profile.film,
    ...(laminate && { laminate }),
    printer: printerOfJob(firstOf(profile.printers)),
    output: profile.output,
    ...(sheets && { sheets }),
    limits: profile.limits,
    allowances: profile.allowances,
    ...(artworkLimits && { artworkLimits }),
    ...(costCard && { costCard }),
    ...(prices && { prices }),
    productionDefaults: profile.production,
  };
}

/** The shop with fields of a job; `laminate: null` means none. */
export function profileWith(
  profile: ShopProfile,
  { shop, printer, productionDefaults, laminate, ...fields }: ShopChange,
): ShopProfile {
  const { laminate: before, ...rest } = profile;
  const covered = laminate === undefined ? before : laminate;
  const {
    dateOrder = rest.dateOrder,
    sideNames = rest.sideNames,
    allowances = rest.allowances,
    ...more
  } = fields;
  return {
    ...rest,
    ...more,
    dateOrder,
    sideNames,
    allowances,
    ...shop,
    ...(covered && { laminate: covered }),
    ...(printer && { printers: printersWith(profile.printers, printer) }),
    ...(productionDefaults && { production: productionDefaults }),
  };
}

/** Fields of a job that belong to its shop. */
export type ShopChange = Partial<Omit<JobStart, 'laminate'>> & {
  readonly laminate?: Film | null | undefined;
};

/** The printer replaces the one with its name, else the first; its roll becomes the usual one. */
function printersWith(printers: readonly ShopPrinter[], { rollWidthMm, ...given }: Printer): ShopPrinter[] {
  const at = Math.max(
    0,
    printers.findIndex(({ name }) => name === given.name),
  );
  const others = otherRollWidths({ printers }, { ...given, name: itemAt(printers, at).name, rollWidthMm });
  return printers.map((printer, index) =>
    index === at ? { ...given, rollWidthsMm: [rollWidthMm, ...others].slice(0, MOST_ROLLS) } : printer,
  );
}
