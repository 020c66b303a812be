import { type Item, TEXT_ASCENT, TEXT_DESCENT, THICK } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf, textLine } from '../drawing/text-block.ts';
import type { Mm } from '../measure/units.ts';

/** What the verification of the panels said that the sheets go with. */
export type Verdict = 'not-verified' | 'verified' | 'failed';

/** Sheets go their own ways: each page says whether its panels may be printed and installed. */
export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  'not-verified': 'NOT VERIFIED',
  verified: 'VERIFIED',
  failed: 'NOT RELEASED',
};

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
