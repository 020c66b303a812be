import { expect, it } from 'vitest';
import { fontLibraryFromFiles } from '../../../core/drawing/font-library.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { rollLabels } from '../../../core/sheets/roll-labels.ts';
import type { StockRoll } from '../../../core/shop/stock-roll.ts';
import { stockNumberFromCode } from '../../../core/shop/stock-text.ts';
import { sheetFontFiles } from '../../../main/files/fonts.ts';
import { decodedCodes } from './decoded-codes.ts';

const fonts = fontLibraryFromFiles(sheetFontFiles());

const roll = (number: number, over: Partial<StockRoll> = {}): StockRoll => ({
  id: `roll-${number}`,
  number,
  use: 'film',
  material: 'Cast print film',
  lotNumber: '7741',
  rollNumber: '12',
  widthMm: 1371.6,
  place: '',
  receivedOn: '2026-09-03',
  leftMm: 12_000,
  isPartial: true,
  ...over,
});

it('the label of a roll says what it is, and its code, read by an independent decoder, finds it', async () => {
  const rolls = [roll(42, { useBy: '2028-09-03' }), roll(7, { lotNumber: '', use: 'laminate' })];
  const options = {
    fonts,
    sheet: LABEL_SHEETS['letter-2x5'],
    skip: 9,
    unit: 'in',
    dateOrder: 'month-first',
  } as const;
  const sheets = rollLabels(rolls, options);
  expect(sheets.map(({ title }) => title)).toEqual(['Roll labels 1 of 2', 'Roll labels 2 of 2']);
  const codes = await Promise.all(sheets.map(decodedCodes));
  expect(codes).toEqual([['R-0042'], ['R-0007']]);
  expect(codes.flat().map(stockNumberFromCode)).toEqual([42, 7]);
  const texts = sheets.map(({ items }) => items.flatMap((item) => (item.kind === 'text' ? item.text : [])));
  expect(texts).toEqual([
    [
      'R-0042',
      'Cast print film',
      'Lot 7741, roll 12',
      'film, 54 in wide',
      'Received Sep 3, 2026',
      'Use by Sep 3, 2028',
    ],
    ['R-0007', 'Cast print film', 'Lot not known, roll 12', 'laminate, 54 in wide', 'Received Sep 3, 2026'],
  ]);
});
