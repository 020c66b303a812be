/**
 * What a job is offered for: hours and material of its estimates at the shop's prices, each with a low and a high figure.
 * Lines are rounded to whole cents before they are summed, so that the sum on the paper is that of its lines.
 *
 *     jobQuote(job, production.estimates)   2 h in the shop at 80 → 160.00; low −10 % 144.00, high +25 % 200.00
 */
import type { Job } from '../job/schema.ts';
import { ESTIMATED_PRICES, type Prices } from '../shop/prices.ts';
import type { JobEstimates } from './estimate.ts';

/** Money in whole cents. */
export interface Spread {
  readonly low: number;
  readonly likely: number;
  readonly high: number;
}

export interface QuoteLine extends Spread {
  readonly name: string;
  /** Hours of all people together, or area of film; absent for an amount that was typed. */
  readonly quantity?: { readonly value: number; readonly unit: 'h' | 'm²' };
}

export interface Quote {
  readonly lines: readonly QuoteLine[];
  readonly total: Spread;
  /** Hours of all people together, in the shop and on the vehicle. */
  readonly hours: Spread;
  /** What work and material cost the shop, where the job is estimated with it; never shown to a customer unasked. */
  readonly ownCost: number;
  readonly currency: string;
  /** The last day on which it holds. */
  readonly validUntil: string;
  readonly prices: Prices;
}

export const jobPrices = ({ prices = ESTIMATED_PRICES }: Pick<Job, 'prices'>): Prices => prices;

/** Keeps QUO1. */
export function jobQuote(
  job: Pick<Job, 'prices' | 'date'>,
  estimates: JobEstimates,
  laborPerHour: number,
): Quote {
  const prices = jobPrices(job);
  const shopHours = hoursInShop(estimates);
  const installHours = (estimates.installTime?.value ?? 0) / 60;
  const material = (name: string, cost: number, areaM2?: number): QuoteLine => ({
    name,
    ...(areaM2 !== undefined && { quantity: { value: areaM2, unit: 'm²' as const } }),
    ...spread(
      cost * (1 + prices.materialMarkupPercent / 100),
      prices.materialLessPercent,
      prices.materialMorePercent,
    ),
  });
  const work = (name: string, hours: number, perHour: number): QuoteLine => ({
    name,
    quantity: { value: hours, unit: 'h' },
    ...spread(hours * perHour, prices.hoursLessPercent, prices.hoursMorePercent),
  });
  const materials = materialCosts(estimates);
  const lines = [
    ...materials.map(({ name, cost, areaM2 }) => material(name, cost, areaM2)),
    work('Production in the shop', shopHours, prices.shopPerHour),
    ...(installHours > 0 ? [work('Installation', installHours, prices.installPerHour)] : []),
    ...(prices.extras ?? []).map(({ name, amount }) => ({ name, ...spread(amount, 0, 0) })),
  ];
  const sum = (of: (line: QuoteLine) => number) => lines.reduce((total, line) => total + of(line), 0);
  const hours = shopHours + installHours;
  return {
    lines,
    total: { low: sum(({ low }) => low), likely: sum(({ likely }) => likely), high: sum(({ high }) => high) },
    hours: {
      low: hours * (1 - prices.hoursLessPercent / 100),
      likely: hours,
      high: hours * (1 + prices.hoursMorePercent / 100),
    },
    ownCost: cents(estimates.cost.value + installHours * laborPerHour),
    currency: estimates.currency,
    validUntil: dayAfter(job.date, prices.validDays),
    prices,
  };
}

const cents = (amount: number): number => Math.round(amount * 100);

const spread = (amount: number, lessPercent: number, morePercent: number): Spread => ({
  low: cents(amount * (1 - lessPercent / 100)),
  likely: cents(amount),
  high: cents(amount * (1 + morePercent / 100)),
});

const hoursInShop = ({ printTime, laminationTime, trimTime, packTime }: JobEstimates): number =>
  (printTime.value + (laminationTime?.value ?? 0) + trimTime.value + packTime.value) / 60;

/** Where a price comes from is the shop's own affair, so what stands in brackets after a name goes. */
function materialCosts({ cost, film, laminate, currency }: JobEstimates) {
  const areas: Readonly<Record<string, number | undefined>> = { Film: film.value, Laminate: laminate?.value };
  const costs = new Map<string, number>();
  for (const { name, value, unit } of cost.inputs) {
    const material = name.replace(/ \(.*\)$/, '');
    if (unit !== currency || material === LABOR) continue;
    costs.set(material, (costs.get(material) ?? 0) + value);
  }
  return [...costs].map(([name, value]) => ({ name, cost: value, areaM2: areas[name] }));
}

/** As the cost estimate names it. */
const LABOR = 'Labor in the shop';

function dayAfter(date: string, days: number): string {
  const at = new Date(`${date}T00:00:00Z`);
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
}

/** `1,234.50 USD` */
export function priceText(inCents: number, currency: string): string {
  const whole = String(Math.trunc(Math.abs(inCents) / 100)).replace(/\B(?=(?:\d{3})+$)/g, ',');
  const sign = inCents < 0 ? '−' : '';
  return `${sign}${whole}.${String(Math.abs(inCents) % 100).padStart(2, '0')} ${currency}`;
}
