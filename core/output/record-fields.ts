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

/** The record without what was left empty. */
export const recordTidied = (record: ProductionRecord): ProductionRecord =>
  Object.fromEntries(
    Object.entries(record).flatMap(([field, value]) => (value?.trim() ? [[field, value.trim()]] : [])),
  );
