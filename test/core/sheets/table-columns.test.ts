import { expect, it } from 'vitest';
import { styleOf } from '../../../core/drawing/text-block.ts';
import { columnWidths } from '../../../core/sheets/table-columns.ts';
import { testFonts } from './fixture.ts';

const fonts = testFonts();
const style = styleOf('bold', 5);
const PAD_MM = 1.2;
const row = (...texts: string[]) => texts.map((text) => ({ text, style }));
const widthOf = (text: string) => fonts.width(text, style.role, style.sizeMm);

it('a column is as wide as its longest word or figure, which the others make room for', () => {
  const widths = columnWidths(fonts, [0.1, 0.7, 0.2], [row('', 'Edge', '283 7/16')], 80, PAD_MM);
  expect(widths[2]).toBeCloseTo(widthOf('283 7/16') + 2 * PAD_MM, 9);
  expect(widths[0]! + widths[1]! + widths[2]!).toBeCloseTo(80, 9);
  expect(widths[1]).toBeGreaterThan(widthOf('Edge') + 2 * PAD_MM);
});

it('columns keep their shares where nothing breaks, and where no column has room to spare', () => {
  expect(columnWidths(fonts, [0.5, 0.5], [row('a', 'b c')], 80, PAD_MM)).toEqual([40, 40]);
  expect(columnWidths(fonts, [0.5, 0.5], [row('Rivet', 'Edge')], 20, PAD_MM)).toEqual([10, 10]);
});

it('a word as long as an address makes no column wider', () => {
  const address = 'library.example.org/branches/bookmobile';
  expect(widthOf(address)).toBeGreaterThan(0.4 * 80);
  expect(columnWidths(fonts, [0.2, 0.8], [row(address, 'Edge')], 80, PAD_MM)).toEqual([16, 64]);
});
