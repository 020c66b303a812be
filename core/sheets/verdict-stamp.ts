import type { DocumentStamp, StampLook } from '../drawing/document-stamp.ts';
import { type Item, type StampItem, TEXT_ASCENT, TEXT_DESCENT, THICK } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf, textLine } from '../drawing/text-block.ts';
import type { Point } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { STAMP_WORDS, VERDICT_WORDS, type Verdict } from '../output/verdict.ts';

const SIZE_MM: Mm = 5;
const PAD_MM: Mm = 2;
const HEIGHT_MM: Mm = SIZE_MM * (TEXT_ASCENT + TEXT_DESCENT);

/** The words that a sheet may say, each in a box: white on black where nothing may be printed or installed. */
export const verdictStamp = (fonts: FontMetrics, verdict: Verdict): DocumentStamp => ({
  looks: STAMP_WORDS.map((word) => stampLook(fonts, word)),
  word: VERDICT_WORDS[verdict],
});

function stampLook(fonts: FontMetrics, word: string): StampLook {
  const tag = 'verdict';
  const isGood = word === VERDICT_WORDS.verified;
  const size = { width: stampWidth(fonts, HEIGHT_MM), height: HEIGHT_MM };
  const half = THICK.widthMm / 2;
  const frame = { x: half, y: half, width: size.width - 2 * half, height: size.height - 2 * half };
  const box: Item = isGood
    ? { kind: 'rect', tag, rect: frame, stroke: THICK }
    : { kind: 'rect', tag, rect: { x: 0, y: 0, ...size }, fill: { black: 1 } };
  const at = { x: size.width / 2, y: SIZE_MM * TEXT_ASCENT };
  const text = textLine(
    fonts,
    word,
    { ...styleOf('bold', SIZE_MM), black: isGood ? 1 : 0 },
    {
      at,
      anchor: 'middle',
      tag,
    },
  );
  return { word, drawing: { widthMm: size.width, heightMm: size.height, items: [box, text] } };
}

/** Room for the longest word, so that what stands beside it stays where it is whatever the stamp says. */
function stampWidth(fonts: FontMetrics, heightMm: Mm): Mm {
  const widths = STAMP_WORDS.map((word) => fonts.width(word, 'bold', SIZE_MM));
  return ((Math.max(...widths) + 2 * PAD_MM) * heightMm) / HEIGHT_MM;
}

/** A stamp no wider than the room; `corner` is its upper left or upper right. */
export function stampItem(
  fonts: FontMetrics,
  corner: { readonly at: Point; readonly anchor: 'start' | 'end' },
  tag: string,
  room: { readonly widthMm: Mm; readonly heightMm: Mm } = {
    widthMm: Number.POSITIVE_INFINITY,
    heightMm: HEIGHT_MM,
  },
): StampItem {
  const width = Math.min(room.widthMm, stampWidth(fonts, room.heightMm));
  const height = (room.heightMm * width) / stampWidth(fonts, room.heightMm);
  const { at, anchor } = corner;
  return { kind: 'stamp', tag, rect: { x: anchor === 'end' ? at.x - width : at.x, y: at.y, width, height } };
}
