import { LocalDateTime } from '../shop/local-time.ts';
import type { ProductionRecord } from './production-record.ts';

export type RecordField = keyof ProductionRecord;

/** What people call the fields, in the order of the ticket. */
export const RECORD_FIELDS: readonly (readonly [RecordField, string])[] = [
  ['printer', 'Printer'],
  ['mediaProfile', 'Media profile'],
  ['outputIntent', 'Output intent'],
  ['spotInks', 'Spot inks and what stands in'],
  ['overprint', 'Overprint'],
  ['inkLimit', 'Ink limit'],
  ['filmLot', 'Film lot, roll'],
  ['laminateLot', 'Laminate lot, roll'],
  ['inkLot', 'Ink lot number'],
  ['offPrinter', 'Last panel off printer'],
  ['enteredBy', 'Entered by'],
];

/** `2026-11-20 13:00` as `2026-11-20T13:00`; undefined for what is no date and time, which stands on the ticket as it is. */
export function offPrinterTime({ offPrinter }: ProductionRecord): string | undefined {
  const found = /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)$/.exec(offPrinter?.trim() ?? '');
  const local = found && `${found[1]}T${found[2]}`;
  return local && LocalDateTime.safeParse(local).success ? local : undefined;
}

/** The record without what was left empty. */
export const recordTidied = (record: ProductionRecord): ProductionRecord =>
  Object.fromEntries(
    Object.entries(record).flatMap(([field, value]) => (value?.trim() ? [[field, value.trim()]] : [])),
  );
