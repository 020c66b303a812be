import type { DocumentStamp, StampLook } from '../drawing/document-stamp.ts';
import {
  type Drawing,
  type Item,
  type StampItem,
  TEXT_ASCENT,
  TEXT_DESCENT,
  THICK,
} from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf, textLine } from '../drawing/text-block.ts';
import type { Point, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { STAMP_WORDS, VERDICT_WORDS, type Verdict } from '../output/verdict.ts';

const SIZE_MM: Mm = 5;
const PAD_MM: Mm = 2;
const HEIGHT_MM: Mm = SIZE_MM * (TEXT_ASCENT + TEXT_DESCENT);

/** The possible words on a sheet, each in a box: white on black where nothing may be printed or installed. */
export const verdictStamp = (fonts: FontMetrics, verdict: Verdict): DocumentStamp => ({
  looks: STAMP_WORDS.map((word) => ({
    ...stampLook(fonts, word),
    ...(word === VERDICT_WORDS.failed && { across: acrossDrawing(fonts, word) }),
  })),
  word: VERDICT_WORDS[verdict],
});

/** Em size of the word across a page in its drawing; pages scale it. */
const ACROSS_MM: Mm = 50;

/** Gray, so that the content under it stays readable. */
function acrossDrawing(fonts: FontMetrics, word: string): Drawing {
  const tag = 'verdict across';
  const style = { ...styleOf('bold', ACROSS_MM), black: 0.45 };
  const widthMm = fonts.width(word, style.role, style.sizeMm);
  const heightMm = ACROSS_MM * (TEXT_ASCENT + TEXT_DESCENT);
  const text = textLine(fonts, word, style, { at: { x: 0, y: ACROSS_MM * TEXT_ASCENT }, tag });
  return { widthMm, heightMm, items: [text] };
}

/** As wide as the room, and centered in it. */
export function stampAcross(fonts: FontMetrics, room: Rect, tag = 'verdict across'): StampItem {
  const ratio = fonts.width(VERDICT_WORDS.failed, 'bold', 1) / (TEXT_ASCENT + TEXT_DESCENT);
  const width = Math.min(room.width, room.height * ratio);
  const height = width / ratio;
  const [x, y] = [room.x + (room.width - width) / 2, room.y + (room.height - height) / 2];
  return { kind: 'stamp', isAcross: true, tag, rect: { x, y, width, height } };
}

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

/** Width of the longest word, so that nothing beside the stamp moves when its word changes. */
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
