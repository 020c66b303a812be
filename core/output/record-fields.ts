import type { ProductionRecord, RecordPart } from './production-record.ts';

export type RecordField = Exclude<keyof ProductionRecord, 'parts'>;

/** Names of the fields for people, in the order of the ticket. */
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

/** The record without empty fields. */
export function recordTidied({ parts = [], ...record }: ProductionRecord): ProductionRecord {
  const told = parts.flatMap(({ filmId, unitNumber, ...fields }): RecordPart[] => {
    const filled = filledIn(fields);
    if (Object.keys(filled).length === 0) return [];
    return [
      {
        ...(filmId !== undefined && { filmId }),
        ...(unitNumber !== undefined && { unitNumber }),
        ...filled,
      },
    ];
  });
  return { ...filledIn(record), ...(told.length > 0 && { parts: told }) };
}

const filledIn = (fields: Omit<ProductionRecord, 'parts'>): Omit<ProductionRecord, 'parts'> =>
  Object.fromEntries(
    Object.entries(fields).flatMap(([field, value]) => (value?.trim() ? [[field, value.trim()]] : [])),
  );
