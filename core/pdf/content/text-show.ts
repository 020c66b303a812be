import { problemTooLarge } from '../file/pdf-problem.ts';
import { type Matrix, matrixProduct, type SourceBox } from '../page/page-space.ts';
import { boxGrown, boxTransformed, isBoxEmpty, matrixReach, NOWHERE } from './bounds.ts';
import type { Font, GlyphCode } from './font.ts';
import type { PlacedGlyph } from './painted.ts';
import { enterPatterns } from './pattern-walk.ts';
import type { StreamWalk } from './stream-walk.ts';
import { enterGlyphs, glyphsBox } from './type3-walk.ts';

/** Far beyond the longest string that ISO 32000-1, Annex C, allows in content: 32,767 bytes. */
const MAX_BYTES_SHOWN = 1 << 20;

/** A string, or a shift in thousandths of an em against the writing direction. */
export type TextPiece = Uint8Array | number;

/** A line of text as set, in text space: where the pen ends, and the area that its glyphs can cover. */
interface SetText {
  readonly end: number;
  /** The area that the glyphs cover, each of them within `box` of its origin. */
  reach(box: SourceBox): SourceBox;
  readonly glyphs: PlacedGlyph[];
  readonly codes: GlyphCode[];
}

/** Shows text and moves the text matrix forward, ISO 32000-1, 9.4.4. */
export function showText(at: StreamWalk, pieces: readonly TextPiece[]): void | Promise<void> {
  const { font } = at.state;
  if (pieces.length === 0) return undefined;
  if (font === undefined) {
    // Readers substitute a font, so the text may show anywhere.
    at.walk.visitor.onPainted?.(
      at.painted('text', at.state.clip, { isFilled: true, isSelfContained: false }),
    );
    return undefined;
  }
  const set = textSet(at, font, pieces);
  if (font.type3 === undefined) return showSet(at, font, set, set.reach(font.box));
  return glyphsBox(at, font.type3, set.codes).then((box) => showSet(at, font, set, set.reach(box)));
}

function showSet(at: StreamWalk, font: Font, set: SetText, box: SourceBox): void | Promise<void> {
  const { state, walk } = at;
  const matrix = matrixProduct(at.textMatrix, state.ctm);
  const move: Matrix = font.isVertical ? [1, 0, 0, 1, 0, set.end] : [1, 0, 0, 1, set.end, 0];
  at.textMatrix = matrixProduct(move, at.textMatrix);
  if (set.codes.length === 0) return undefined;
  const mode = state.renderMode & 3;
  // Modes 4 to 7 also clip. Letters do not narrow the clip here, which can only keep too much.
  const isStroked = mode === 1 || mode === 2;
  const inked = boxTransformed(box, matrix);
  const [reachX, reachY] = matrixReach(state.ctm);
  const half = state.lineWidth / 2;
  const painted = at.painted('text', isStroked ? boxGrown(inked, half * reachX, half * reachY) : inked, {
    isFilled: mode === 0 || mode === 2,
    isStroked,
    isVisible: mode !== 3,
    // The two operators that also begin a new line move the text after them.
    isSelfContained: state.renderMode < 4 && at.reader.operatorText.startsWith('T'),
    text: { font, size: state.fontSize, matrix, glyphs: set.glyphs },
  });
  walk.visitor.onPainted?.(painted);
  const hasPattern = state.fill.pattern !== undefined || state.stroke.pattern !== undefined;
  const isDrawn = font.type3 !== undefined && walk.visitor.entersGlyphs === true && mode !== 3;
  if (!hasPattern && !isDrawn) return undefined;
  return (async () => {
    if (hasPattern) await enterPatterns(at, painted);
    if (isDrawn) await enterGlyphs(at, painted, set.codes, matrix);
  })();
}

function textSet(at: StreamWalk, font: Font, pieces: readonly TextPiece[]): SetText {
  const { state, walk } = at;
  const { fontSize: size, charSpace, wordSpace, rise } = state;
  const scale = font.isVertical ? 1 : state.widthScale;
  const wantsGlyphs = walk.visitor.wantsGlyphs === true;
  const glyphs: PlacedGlyph[] = [];
  const codes: GlyphCode[] = [];
  const bytes = pieces.reduce<number>(
    (sum, piece) => sum + (typeof piece === 'number' ? 0 : piece.length),
    0,
  );
  if (bytes > MAX_BYTES_SHOWN) {
    throw problemTooLarge('The page shows more than a million letters of text at once.');
  }
  walk.countWork(bytes);
  let pen = 0;
  let low = Infinity;
  let high = -Infinity;
  let reach = -Infinity;
  for (const piece of pieces) {
    if (typeof piece === 'number') {
      pen -= (piece / 1000) * size * scale;
      continue;
    }
    for (const glyph of font.glyphs(piece)) {
      const advance = glyph.advance * size * scale;
      if (pen < low) low = pen;
      if (pen > high) high = pen;
      if (wantsGlyphs) glyphs.push(placed(font, glyph, pen, pen + advance, size, rise));
      codes.push(glyph);
      pen += advance + (charSpace + (glyph.isWordSpace ? wordSpace : 0)) * scale;
      reach = Math.max(reach, pen);
    }
  }
  const reachOf = (box: SourceBox): SourceBox => {
    if (codes.length === 0 || isBoxEmpty(box)) return NOWHERE;
    const ink = inkBox(font, box, low, high, size, scale, rise);
    // A glyph may be wider than the font's box; glyphs drawn by operators were measured.
    return font.isVertical || font.type3 !== undefined ? ink : { ...ink, x1: Math.max(ink.x1, reach) };
  };
  return { end: pen, reach: reachOf, glyphs, codes };
}

/** The box around all glyphs whose origins are between `low` and `high` on the line. */
function inkBox(
  font: Font,
  box: SourceBox,
  low: number,
  high: number,
  size: number,
  scale: number,
  rise: number,
): SourceBox {
  const ys = [box.y0 * size, box.y1 * size];
  const xs = [box.x0 * size * (font.isVertical ? 1 : scale), box.x1 * size * (font.isVertical ? 1 : scale)];
  const left = Math.min(...xs);
  const right = Math.max(...xs);
  const bottom = Math.min(...ys) + rise;
  const top = Math.max(...ys) + rise;
  return font.isVertical
    ? { x0: left, y0: low + bottom, x1: right, y1: high + top }
    : { x0: low + left, y0: bottom, x1: high + right, y1: top };
}

function placed(
  font: Font,
  glyph: GlyphCode,
  from: number,
  to: number,
  size: number,
  rise: number,
): PlacedGlyph {
  const { code } = glyph;
  const text = font.text(code);
  if (font.isVertical) {
    return { code, text, x0: -size / 2, y0: Math.min(from, to), x1: size / 2, y1: Math.max(from, to) };
  }
  const bottom = font.descent * size + rise;
  const top = font.ascent * size + rise;
  return { code, text, x0: from, y0: Math.min(bottom, top), x1: to, y1: Math.max(bottom, top) };
}
