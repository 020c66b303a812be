import { expect, it } from 'vitest';
import { jobWithVehicle } from '../../../core/job/edits/vehicle-begin.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { jobQuote, priceText } from '../../../core/production/quote.ts';
import { quoteSheet } from '../../../core/sheets/quote-sheet.ts';
import { ESTIMATED_PRICES } from '../../../core/shop/prices.ts';
import { sheetFonts } from '../../../main/tasks/output-sheets.ts';
import { smallJob } from '../../support/small-job.ts';

function begun(over: Partial<Job> = {}): Job {
  const { artwork: _, ...rest } = smallJob({ sides: [], ...over });
  const made = jobWithVehicle(rest, [{ role: 'left', widthMm: 4100, heightMm: 1900 }]);
  if (!made.ok) throw new Error(made.problem.message);
  return made.value;
}

function textsOf(job: Job): string {
  const layouts = jobLayout(job);
  const sheets = quoteSheet(job, layouts, jobProduction(job, layouts), { fonts: sheetFonts() });
  return sheets
    .flatMap(({ items }) => items.flatMap((item) => (item.kind === 'text' ? [item.text] : [])))
    .join('\n');
}

const quoteOf = (job: Job) => {
  const { estimates, settings } = jobProduction(job, jobLayout(job));
  return jobQuote(job, estimates, settings.figures.laborPerHour);
};

const prices = { ...ESTIMATED_PRICES, isEstimate: false, tax: 'plus 7 % sales tax' };

it('QUO1 prints lines, total, tax and the last day of the quote, and no figure of the shop’s own cost', () => {
  const job = begun({ prices });
  const quote = quoteOf(job);
  const texts = textsOf(job);
  for (const { likely } of [...quote.lines, quote.total])
    expect(texts).toContain(priceText(likely, quote.currency));
  expect(texts).toContain('plus 7 % sales tax');
  expect(texts).toContain(quote.validUntil);
  expect(texts).not.toContain('Own cost');
  expect(texts).not.toContain('DRAFT');
  expect(textsOf({ ...job, sheets: { quote: { cost: true } } })).toContain(
    priceText(quote.ownCost, quote.currency),
  );
});

it('prints the range, unless the shop leaves it out', () => {
  const job = begun({ prices });
  const { total, currency } = quoteOf(job);
  expect(textsOf(job)).toContain(priceText(total.high, currency));
  expect(textsOf({ ...job, sheets: { quote: { range: false } } })).not.toContain(
    priceText(total.high, currency),
  );
});

it('says that it is a draft without prices of the shop, and what it assumes without artwork', () => {
  const texts = textsOf(begun()).replaceAll('\n', ' ');
  expect(texts).toContain('DRAFT · Quote · SJ-7');
  expect(texts).toContain('There is no artwork of LH yet');
});
