import { expect, it } from 'vitest';
import { FIRST_FILM_ID } from '../../../core/job/job-films.ts';
import {
  filmRecord,
  printedTimes,
  recordCompleted,
  recordPart,
  recordWithPart,
} from '../../../core/output/record-parts.ts';

const LOT_A = { filmLot: '7741', printer: 'Long table', enteredBy: 'Ada' };
const onB = { filmId: 'flat' };
const of08 = { ...onB, unitNumber: 'BM-08' };
const record = recordWithPart(recordWithPart(LOT_A, onB, { filmLot: ' 88 ' }), of08, {
  laminateLot: 'L-9',
  offPrinter: '2026-11-23 10:05',
});

it('REC1 each film has its own lots and printer; who entered it stands with all', () => {
  expect(filmRecord(record, FIRST_FILM_ID)).toEqual(LOT_A);
  expect(filmRecord(record, 'flat')).toEqual({
    filmLot: '88',
    enteredBy: 'Ada',
    parts: [{ unitNumber: 'BM-08', laminateLot: 'L-9', offPrinter: '2026-11-23 10:05' }],
  });
  expect(recordPart(record, of08)).toEqual({ laminateLot: 'L-9', offPrinter: '2026-11-23 10:05' });
  expect(recordPart(record, { unitNumber: 'BM-08' })).toEqual({});
  const cleared = recordWithPart(recordWithPart(record, of08, {}), onB, { filmLot: ' ' });
  expect(cleared).toEqual(LOT_A);
});

it('REC1 an output is off the printer once each film is, or each vehicle on it', () => {
  const films = [
    { filmId: FIRST_FILM_ID, unitNumbers: [] },
    { filmId: 'flat', unitNumbers: ['BM-07', 'BM-08'] },
  ];
  expect(recordCompleted(record, films)).toEqual(record);
  const first = recordWithPart(record, { filmId: FIRST_FILM_ID }, { offPrinter: '2026-11-23 09:10' });
  expect(recordCompleted(first, films).offPrinter).toBeUndefined();
  const all = recordWithPart(first, { ...onB, unitNumber: 'BM-07' }, { offPrinter: '2026-11-23 08:45' });
  expect(recordCompleted(all, films).offPrinter).toBe('2026-11-23 10:05');
  expect(printedTimes(filmRecord(all, 'flat'))).toEqual({
    all: undefined,
    sets: new Map([
      ['BM-08', '2026-11-23T10:05'],
      ['BM-07', '2026-11-23T08:45'],
    ]),
  });
  expect(recordCompleted({ ...all, offPrinter: 'noon' }, films).offPrinter).toBe('noon');
});
