import { expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { ProductionRecord } from '../../../core/output/production-record.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { bookmobileJob, testFonts } from './fixture.ts';
import { textsOf } from './sheet-checks.ts';
import { withProduction, words } from './tickets.ts';

const wet: Job = withProduction(bookmobileJob());
const job: Job = {
  ...wet,
  production: { ...wet.production!, worstCoveragePercent: 240, ink: 'eco-solvent' },
};

function ticketWith(record: ProductionRecord) {
  const layouts = jobLayout(job);
  const options = { fonts: testFonts(), sheet: 'A3', findings: [], operator: { record } } as const;
  return ticket(job, layouts, jobProduction(job, layouts), options);
}

const band = (record: ProductionRecord): string[] =>
  ticketWith(record)
    .flatMap(textsOf)
    .filter(({ tag }) => tag.startsWith('band'))
    .map(({ text }) => text);

it('the drying clock of a ticket starts when the last panel came off the printer', () => {
  // 48 h for 240 % of eco-solvent ink.
  const texts = band({ offPrinter: '2026-11-27 15:40' });
  expect(texts).toContain('Fri 2026-11-27, 15:40');
  expect(texts).toContain('Sun 2026-11-29, 15:40');
  expect(texts.some((text) => /from \(\+ 48 h\)$/.test(text))).toBe(true);
  expect(texts).toContain('Install from');
  expect(texts).not.toContain('Install, planned from');
  const earlier = band({ offPrinter: '2026-11-25 15:40' });
  expect(earlier.at(-1)).not.toBe(texts.at(-1));
});

it('what is no date and time stands as it was written, and the hours are counted by hand', () => {
  const texts = band({ offPrinter: 'Friday after lunch' });
  expect(texts).toContain('Friday after lunch');
  expect(texts).toContain('+ 48 h');
  expect(texts).toContain('Install, planned from');
});

it('what was entered stands beside what was asked for', () => {
  const record = { mediaProfile: 'Cast matte 6 pass', filmLot: 'F-2291 roll 3', inkLot: 'K 77' };
  const text = words(ticketWith(record));
  for (const entered of Object.values(record)) expect(text).toContain(entered);
});
