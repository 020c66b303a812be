import { type Item, TEXT_ASCENT, TEXT_DESCENT, THICK } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf, textLine } from '../drawing/text-block.ts';
import type { Mm } from '../measure/units.ts';
import { VERDICT_WORDS, type Verdict } from '../output/verdict.ts';

const SIZE_MM: Mm = 5;
const PAD_MM: Mm = 2;

/** The word in a box that ends at `right`: white on black where nothing may be printed or installed. */
export function verdictBox(
  fonts: FontMetrics,
  verdict: Verdict,
  right: Mm,
  baseline: Mm,
): { readonly items: readonly Item[]; readonly left: Mm } {
  const tag = 'head verdict';
  const isGood = verdict === 'verified';
  const style = { ...styleOf('bold', SIZE_MM), black: isGood ? 1 : 0 };
  const at = { x: right - PAD_MM, y: baseline - 1 };
  const word = textLine(fonts, VERDICT_WORDS[verdict], style, { at, anchor: 'end', tag });
  const rect = {
    x: right - word.widthMm - 2 * PAD_MM,
    y: at.y - SIZE_MM * TEXT_ASCENT,
    width: word.widthMm + 2 * PAD_MM,
    height: SIZE_MM * (TEXT_ASCENT + TEXT_DESCENT),
  };
  const box: Item = { kind: 'rect', tag, rect, ...(isGood ? { stroke: THICK } : { fill: { black: 1 } }) };
  return { items: [box, word], left: rect.x };
}
