import { describe, expect, it } from 'vitest';
import { FIRST_FILM_ID } from '../../../core/job/job-films.ts';
import {
  panelOfPrint,
  printLabel,
  printsFromText,
  printsText,
  takenTwice,
} from '../../../core/output/printed-panels.ts';
import { filmRecord, recordPart } from '../../../core/output/record-parts.ts';
import { recordWithLots, type UsedRoll } from '../../../core/output/used-roll.ts';

it('panels on a roll are named once, with how many prints of each lie on it', () => {
  expect(printsText(['DS-01', 'DS-05', 'DS-01', 'TR-03', 'DS-05', 'DS-01'])).toBe(
    'DS-01 × 3, DS-05 × 2, TR-03',
  );
  expect(printsText([])).toBe('');
});

describe('prints that somebody typed', () => {
  const known = ['LH-03', 'LH-04 patch 1', 'LH-03 · BM 07, old', 'LH-03 · BM 08'];

  it('read as they were written, whatever blanks and commas a unit number or a patch has', () => {
    const prints = ['LH-03', 'LH-03', 'LH-04 patch 1', 'LH-03 · BM 07, old', 'LH-03 · BM 08'];
    expect(printsFromText(printsText(prints), known)).toEqual(prints);
  });

  it('may stand with blanks or commas between them, and unknown ones stay as they are', () => {
    expect(printsFromText(' LH-03  LH-09,LH-03 x 2; LH-04 patch 1 ', known)).toEqual([
      ...['LH-03', 'LH-09', 'LH-03', 'LH-03', 'LH-04 patch 1'],
    ]);
    expect(printsFromText('LH-031', known)).toEqual(['LH-031']);
    expect(printsFromText(' , ', known)).toEqual([]);
  });

  it('name their panel and their vehicle', () => {
    expect(panelOfPrint(printLabel('LH-03', 'BM · 8'))).toEqual({
      panelLabel: 'LH-03',
      unitNumber: 'BM · 8',
    });
    expect(panelOfPrint('LH-04 patch 1')).toEqual({ panelLabel: 'LH-04 patch 1' });
  });
});

describe('STK10 what is entered twice', () => {
  const on = (roll: string, ...panelLabels: string[]) => ({ roll, kind: 'printed' as const, panelLabels });

  it('is a panel on more rolls than it has prints', () => {
    expect(takenTwice([on('R-0001', 'LH-01', 'LH-02'), on('R-0002', 'LH-02')], () => 1)).toEqual([
      'LH-02 is entered 2 times as printed (R-0001 and R-0002), and the output has it once.',
    ]);
    expect(takenTwice([on('R-0001', 'LH-01', 'LH-01'), on('R-0002', 'LH-01')], () => 3)).toEqual([]);
  });

  it('is a roll of film for two stretches; laminate is cut off as often as it takes', () => {
    const laminated = { ...on('R-0009', 'LH-01'), kind: 'laminated' as const };
    expect(
      takenTwice(
        [on('R-0001', 'LH-01'), on('R-0001', 'LH-02'), laminated, { ...laminated, panelLabels: ['LH-02'] }],
        () => 1,
      ),
    ).toEqual(['R-0001 is entered 2 times as a roll that was printed on.']);
  });
});

it('lots of a panel for one vehicle are those of its print, and of prints that any vehicle takes', () => {
  const used = (lotNumber: string, ...panelLabels: string[]): UsedRoll => ({
    ...{ use: 'film', material: 'Cast', lotNumber, rollNumber: '1', kind: 'printed', printing: 1 },
    panelLabels,
  });
  const rolls = [used('A', 'LH-03 · BM-07'), used('B', 'LH-03 · BM-08', 'LH-04')];
  const films = (...panelLabels: string[]) => [{ filmId: FIRST_FILM_ID, panelLabels, unitNumbers: [] }];
  expect(recordWithLots(undefined, rolls, films('LH-03'), 'BM-08')).toEqual({ filmLot: 'lot B, roll 1' });
  expect(recordWithLots(undefined, rolls, films('LH-03'))).toEqual({
    filmLot: 'lot A, roll 1; lot B, roll 1',
  });
  expect(recordWithLots(undefined, rolls, films('LH-04'), 'BM-07')).toEqual({ filmLot: 'lot B, roll 1' });
});

it('REC1 lots of the ledger stand with each film, and with each vehicle whose prints were entered by vehicle', () => {
  const used = (lotNumber: string, kind: UsedRoll['kind'], ...panelLabels: string[]): UsedRoll => ({
    ...{ use: 'film', material: 'Cast', lotNumber, rollNumber: '1', kind, printing: 1, panelLabels },
  });
  const rolls = [
    used('A', 'printed', 'LH-03 · BM-07'),
    used('B', 'printed', 'LH-03 · BM-08'),
    used('L', 'laminated', 'LH-03'),
    used('F', 'printed', 'TR-01'),
    used('G', 'laminated', 'TR-01'),
  ];
  const films = [
    { filmId: FIRST_FILM_ID, panelLabels: ['LH-03'], unitNumbers: ['BM-07', 'BM-08'] },
    { filmId: 'flat', panelLabels: ['TR-01'], unitNumbers: ['T-2'] },
  ];
  const typed = { parts: [{ filmId: 'flat', laminateLot: 'as typed' }] };
  const record = recordWithLots(typed, rolls, films)!;
  expect(filmRecord(record, FIRST_FILM_ID)).toMatchObject({
    filmLot: 'lot A, roll 1; lot B, roll 1',
    laminateLot: 'lot L, roll 1',
  });
  expect(recordPart(record, { unitNumber: 'BM-07' })).toEqual({ filmLot: 'lot A, roll 1' });
  expect(recordPart(record, { unitNumber: 'BM-08' })).toEqual({ filmLot: 'lot B, roll 1' });
  expect(filmRecord(record, 'flat')).toEqual({ filmLot: 'lot F, roll 1', laminateLot: 'as typed' });
});
