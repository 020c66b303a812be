/**
 * The shop: who issues the sheets, what stands on the floor, and how it works. One record in the archive; a new job begins
 * with it, and says where it differs later.
 */
import { z } from 'zod';
import { Allowances } from '../shop/allowances.ts';
import { ArtworkLimits } from '../shop/artwork-limits.ts';
import { costCardSchema } from '../shop/cost-card.ts';
import { DateOrder } from '../shop/date-order.ts';
import { ProductionDefaults } from '../shop/production-settings.ts';
import { SideNames } from '../shop/side-names.ts';
import { Film, type Job, Output, Printer, SheetSettings, ShopLimits } from './schema.ts';

const text = z.string().max(2000);
/** Four bytes of a picture are a little more than three of the file's. */
const MAX_LOGO_CHARACTERS = 400_000;

/** As PNG, whatever it came as. */
export const ShopLogo = z.strictObject({
  pngBase64: z.base64().max(MAX_LOGO_CHARACTERS),
  widthPx: z.number().int().positive().max(4096),
  heightPx: z.number().int().positive().max(4096),
});
export type ShopLogo = z.infer<typeof ShopLogo>;

const { rollWidthMm, ...printer } = Printer.shape;

/** A printer with the rolls that are loaded in it. */
export const ShopPrinter = z.strictObject({
  ...printer,
  /** True widths, the usual one first. */
  rollWidthsMm: z.array(rollWidthMm).min(1).max(10),
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
  /** The first one prints new jobs. */
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
  production: ProductionDefaults,
});
export type ShopProfile = z.infer<typeof ShopProfile>;

/** A printer with one of its rolls, as a job has it. */
export const printerOfJob = (
  { rollWidthsMm, ...rest }: ShopPrinter,
  widthMm: number = rollWidthsMm[0]!,
): Printer => ({ ...rest, rollWidthMm: widthMm });

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
  | 'productionDefaults'
>;

/** What a new job of the shop begins with. */
export function jobStart(profile: ShopProfile): JobStart {
  const { name, address, phone, laminate, sheets, artworkLimits, costCard } = profile;
  return {
    ...(name.trim() !== '' && { shop: { name, address, phone } }),
    displayUnit: profile.displayUnit,
    dateOrder: profile.dateOrder,
    sideNames: profile.sideNames,
    preparedBy: profile.preparedBy,
    film: profile.film,
    ...(laminate && { laminate }),
    printer: printerOfJob(profile.printers[0]!),
    output: profile.output,
    ...(sheets && { sheets }),
    limits: profile.limits,
    allowances: profile.allowances,
    ...(artworkLimits && { artworkLimits }),
    ...(costCard && { costCard }),
    productionDefaults: profile.production,
  };
}
