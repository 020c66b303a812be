/** Labels for rolls on the shelf. The code on each identifies the roll. */
import { lengthText } from '../measure/length-text.ts';
import type { DateOrder } from '../shop/date-order.ts';
import { dateText } from '../shop/date-text.ts';
import type { StockRoll } from '../shop/stock-roll.ts';
import { lotText, stockCode } from '../shop/stock-text.ts';
import { STOCK_USE_NAMES } from '../shop/stock-use.ts';
import { type Label, type LabelLine, type LabelPageOptions, labelPages } from './label-pages.ts';
import type { Sheet } from './page-frame.ts';

export const ROLL_LABELS = 'Roll labels';

export interface RollLabelOptions extends LabelPageOptions {
  readonly unit: 'mm' | 'in';
  readonly dateOrder?: DateOrder | undefined;
}

export function rollLabels(
  rolls: readonly StockRoll[],
  { unit, dateOrder, ...pages }: RollLabelOptions,
): readonly Sheet[] {
  const labels = rolls.map((roll): Label => {
    const code = stockCode(roll.number);
    return { tag: `label ${code}`, codeText: code, lines: () => linesOf(roll, unit, dateOrder) };
  });
  return labelPages(ROLL_LABELS, labels, pages);
}

function linesOf(roll: StockRoll, unit: 'mm' | 'in', dateOrder: DateOrder | undefined): LabelLine[] {
  const { number, material, use, widthMm, receivedOn, useBy } = roll;
  const strong = (text: string, share: number): LabelLine => ({ text, share, isStrong: true });
  const plain = (text: string): LabelLine => ({ text, share: 1, isStrong: false });
  const lot = lotText(roll);
  return [
    strong(stockCode(number), 2.4),
    strong(material, 1.3),
    strong(`${lot.charAt(0).toUpperCase()}${lot.slice(1)}`, 1.2),
    plain(`${STOCK_USE_NAMES[use]}, ${lengthText(widthMm, unit)} wide`),
    plain(`Received ${dateText(receivedOn, dateOrder)}`),
    ...(useBy === undefined ? [] : [plain(`Use by ${dateText(useBy, dateOrder)}`)]),
  ];
}
