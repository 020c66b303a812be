/** What a shop asks of its customers, apart from what work and material cost itself. */
import { z } from 'zod';

const price = z.number().nonnegative().max(1_000_000);
const percent = z.number().min(0).max(1000);

export const QuoteExtra = z.strictObject({ name: z.string().min(1).max(200), amount: price });
export type QuoteExtra = z.infer<typeof QuoteExtra>;

export const Prices = z.strictObject({
  /** Whether the figures are still the built-in guesses: a quote by them is a draft. */
  isEstimate: z.boolean(),
  shopPerHour: price,
  installPerHour: price,
  /** On film, laminate and ink. */
  materialMarkupPercent: percent,
  /** Printed as typed, such as `plus 7 % sales tax`: what is taxed, and how, is for the law of the place. */
  tax: z.string().max(200),
  validDays: z.number().int().min(1).max(3650),
  /** How far hours and material have come out below and above what was likely. */
  hoursLessPercent: percent.max(100),
  hoursMorePercent: percent,
  materialLessPercent: percent.max(100),
  materialMorePercent: percent,
  /** Fixed amounts beside hours and material: design, removal of old film. */
  extras: z.array(QuoteExtra).max(50).optional(),
});
export type Prices = z.infer<typeof Prices>;

/** Common practice, no source: to be replaced by the shop's own figures before a quote goes out. */
export const ESTIMATED_PRICES: Prices = {
  isEstimate: true,
  shopPerHour: 85,
  installPerHour: 85,
  materialMarkupPercent: 50,
  tax: '',
  validDays: 30,
  hoursLessPercent: 10,
  hoursMorePercent: 25,
  materialLessPercent: 5,
  materialMorePercent: 10,
};
