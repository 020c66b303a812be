/**
 * Production records of an output by film and by vehicle.
 *
 *     filmLot 7741, of film B filmLot 88, of BM-08 filmLot 7745   →  film A 7741, film B 88, BM-08 on film A 7745
 */
import { FIRST_FILM_ID } from '../job/job-films.ts';
import { offPrinterTime } from './off-printer-time.ts';
import type { ProductionRecord, RecordPart } from './production-record.ts';
import { recordTidied } from './record-fields.ts';

export interface RecordOf {
  /** Absent: the first film. */
  readonly filmId?: string | undefined;
  /** Absent: all vehicles. */
  readonly unitNumber?: string | undefined;
}

const isOf = (part: RecordPart, { filmId = FIRST_FILM_ID, unitNumber }: RecordOf): boolean =>
  (part.filmId ?? FIRST_FILM_ID) === filmId && part.unitNumber === unitNumber;

const fieldsOf = ({ filmId: _, unitNumber: __, ...fields }: RecordPart): Omit<ProductionRecord, 'parts'> =>
  fields;

/** Entries for exactly this part, without those that cover more. */
export function recordPart(record: ProductionRecord, of: RecordOf): Omit<ProductionRecord, 'parts'> {
  const part = record.parts?.find((each) => isOf(each, of));
  return part ? fieldsOf(part) : {};
}

/** The record of one film as if the output had no other; entries for its vehicles stay. Keeps REC1. */
export function filmRecord(record: ProductionRecord, filmId: string): ProductionRecord {
  const { parts = [], ...all } = record;
  const { offPrinter, enteredBy } = all;
  const told = filmId === FIRST_FILM_ID ? all : { offPrinter, enteredBy };
  const vehicles = parts
    .filter((part) => part.unitNumber !== undefined && isOf(part, { filmId, unitNumber: part.unitNumber }))
    .map(({ filmId: _, ...part }) => part);
  const own = recordPart(record, { filmId });
  return recordTidied({ ...told, ...own, ...(vehicles.length > 0 && { parts: vehicles }) });
}

/** The record with the entries of one part replaced. */
export function recordWithPart(
  { parts = [], ...record }: ProductionRecord,
  { filmId, unitNumber }: RecordOf,
  fields: Omit<ProductionRecord, 'parts'>,
): ProductionRecord {
  const kept = parts.filter((part) => !isOf(part, { filmId, unitNumber }));
  const part = {
    ...(filmId !== undefined && { filmId }),
    ...(unitNumber !== undefined && { unitNumber }),
    ...fields,
  };
  return recordTidied({ ...record, parts: [...kept, part] });
}

/** Times when panels came off the printer: for all of them, and for single vehicles. `record`: of one film. */
export const printedTimes = (record: ProductionRecord) => ({
  all: offPrinterTime(record),
  sets: new Map(
    (record.parts ?? []).flatMap((part) => {
      const time = offPrinterTime(part);
      return part.unitNumber !== undefined && time !== undefined ? [[part.unitNumber, time] as const] : [];
    }),
  ),
});

/**
 * Adds the time at which the last panel of all came off the printer, once it is entered for every film, or for every
 * vehicle on a film. Keeps REC1.
 */
export function recordCompleted(
  record: ProductionRecord,
  films: readonly { readonly filmId: string; readonly unitNumbers: readonly string[] }[],
): ProductionRecord {
  if (record.offPrinter !== undefined) return record;
  const times = films.map(({ filmId, unitNumbers }) => {
    const { all, sets } = printedTimes(filmRecord(record, filmId));
    if (all !== undefined) return all;
    const ofUnits = unitNumbers.map((unit) => sets.get(unit));
    return ofUnits.length > 0 && ofUnits.every((time) => time !== undefined)
      ? ofUnits.toSorted().at(-1)
      : undefined;
  });
  const last = times.toSorted().at(-1);
  return last === undefined || times.some((time) => time === undefined)
    ? record
    : { ...record, offPrinter: last.replace('T', ' ') };
}
