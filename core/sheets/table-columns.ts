import type { FontMetrics } from '../drawing/font-library.ts';
import { type TextStyle, wordsOf } from '../drawing/text-block.ts';
import { itemAt } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';

/** Share of the table's width: a word longer than this, such as a web address, may break. */
const MOST_FOR_A_WORD = 0.4;
/** Longer cell texts are not searched for long words. */
const SEARCHED_CHARACTERS = 300;

/**
 * Width of each column: its share of the table, or more where a word or a figure would break. The extra width comes
 * from columns with spare room; where there is too little, the shares stay. `padMm` is the margin on each side of a
 * text.
 */
export function columnWidths(
  fonts: FontMetrics,
  shares: readonly number[],
  rows: readonly (readonly { readonly text: string; readonly style: TextStyle }[])[],
  widthMm: Mm,
  padMm: Mm,
): readonly Mm[] {
  const own = shares.map((share) => share * widthMm);
  const needed = own.map((_, index) => {
    const words = rows.map((cells) => widestWord(fonts, cells[index], widthMm * MOST_FOR_A_WORD));
    return Math.max(0, ...words) + 2 * padMm;
  });
  const lacking = own.map((width, index) => Math.max(0, itemAt(needed, index) - width));
  const spare = own.map((width, index) => Math.max(0, width - itemAt(needed, index)));
  const [lackingMm, spareMm] = [sum(lacking), sum(spare)];
  if (lackingMm === 0 || lackingMm > spareMm) return own;
  return own.map(
    (width, index) => width + itemAt(lacking, index) - (lackingMm * itemAt(spare, index)) / spareMm,
  );
}

function widestWord(
  fonts: FontMetrics,
  cell: { readonly text: string; readonly style: TextStyle } | undefined,
  mostMm: Mm,
): Mm {
  if (!cell) return 0;
  const { text, style } = cell;
  const widths = wordsOf(fonts.printable(text.slice(0, SEARCHED_CHARACTERS))).map((word) =>
    fonts.width(word, style.role, style.sizeMm),
  );
  return Math.max(0, ...widths.filter((width) => width <= mostMm));
}

const sum = (lengths: readonly Mm[]): Mm => lengths.reduce((total, length) => total + length, 0);
