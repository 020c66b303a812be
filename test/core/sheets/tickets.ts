/** Tickets for the tests, and what is read off them. */
import type { Finding } from '../../../core/findings/finding.ts';
import type { Job } from '../../../core/job/schema.ts';
import type { SideLayout } from '../../../core/layout/side-layout.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { MeasuredCoverage } from '../../../core/production/job-coverage.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import type { SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { testFonts } from './fixture.ts';
import { textsOf } from './sheet-checks.ts';

const fonts = testFonts();

export const withProduction = (job: Job): Job => ({
  ...job,
  printer: { ...job.printer, feedErrorPercent: 0.2 },
  production: { ...DEFAULT_PRODUCTION, printStart: '2026-11-26T08:00' },
  sheets: { ticket: { estimates: true, cost: true, packing: true } },
});
export const reduced = (job: Job, factor: number): Job => ({
  ...job,
  output: { ...job.output, size: { kind: 'reduction', factor } },
});

export function ticketOf(
  job: Job,
  sheet: SheetSizeName = 'A3',
  findings: readonly Finding[] = [],
): readonly Sheet[] {
  return ticketOfPanels(job, jobLayout(job), { sheet, findings });
}

/** With what production finds behind the findings that are given. */
export function ticketOfPanels(
  job: Job,
  layouts: readonly SideLayout[],
  { measured, sheet, findings = [] }: TicketOf = {},
): readonly Sheet[] {
  const production = jobProduction(job, layouts, measured);
  const known = { job, layouts, production, ...(measured && { measured }) };
  return ticket(job, layouts, production, {
    fonts,
    ...(sheet && { sheet }),
    findings: [...findings, ...productionFindings(known)],
  });
}

interface TicketOf {
  readonly measured?: MeasuredCoverage;
  readonly sheet?: SheetSizeName;
  readonly findings?: readonly Finding[];
}

/** The texts of a table's rows, column of the sheet by column, by the height at which they stand. */
export function tableRows(sheets: readonly Sheet[], table: string): string[][] {
  return sheets.flatMap((sheet) =>
    [0, 1].flatMap((column) => {
      const rows: { middle: number; cells: { x: number; text: string }[] }[] = [];
      const texts = textsOf(sheet).filter(
        ({ tag, at }) => tag.startsWith(`table ${table}`) && at.x >= sheet.widthMm / 2 === (column === 1),
      );
      for (const item of texts) {
        // Texts of one row are centered on one line, whatever their size.
        const middle = item.at.y - item.sizeMm * 0.335;
        const row = rows.find((known) => Math.abs(known.middle - middle) < 1);
        const cell = { x: item.at.x, text: item.text };
        if (row) row.cells.push(cell);
        else rows.push({ middle, cells: [cell] });
      }
      return rows
        .sort((a, b) => a.middle - b.middle)
        .map(({ cells }) => cells.sort((a, b) => a.x - b.x).map(({ text }) => text));
    }),
  );
}

/** Rows of the print table, without headings. */
export const printRowsOf = (sheets: readonly Sheet[]): string[][] =>
  tableRows(sheets, 'Print in this order').filter(([label]) => /^[A-Z]+-\d+$/.test(label!));

export const words = (sheets: readonly Sheet[]): string =>
  sheets
    .flatMap(textsOf)
    .map(({ text }) => text)
    .join(' ');
