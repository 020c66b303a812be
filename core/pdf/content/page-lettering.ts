import { lastOf, present } from '../../measure/present.ts';
import type { Rect } from '../../measure/rect.ts';
import { problemTooLarge } from '../file/pdf-problem.ts';
import { boxUnion, type Matrix, matrixPoint, matrixProduct, type SourceBox } from '../page/page-space.ts';
import { boxOverlap, boxTransformed, isBoxEmpty } from './bounds.ts';
import type { ContentPage } from './content-page.ts';
import type { Painted, PlacedGlyph } from './painted.ts';
import { walkContent } from './walk.ts';

/** A word of live text. Its height is that of the font's line, from descender to ascender. */
export interface Word {
  readonly text: string;
  readonly drawn: Rect<'drawn'>;
}

/** Words that follow each other on one base line. */
export interface LetteringLine {
  readonly text: string;
  readonly drawn: Rect<'drawn'>;
  readonly words: readonly Word[];
  /** Font size as drawn, mm. */
  readonly sizeMm: number;
  readonly font: string;
  /** Whether it reads backward, as in a mirror. */
  readonly isMirrored: boolean;
}

/**
 * Fractions of the font size. A gap wider than the first ends a word; a still wider gap, or a step off the line, ends
 * the line.
 */
const WORD_GAP = 0.25;
const LINE_GAP = 2;
const LINE_DRIFT = 0.4;
const STEP_BACK = 0.5;
/** The largest side of a vehicle holds far fewer words; the limit saves memory. */
const MAX_WORDS = 1_000_000;

interface Pen {
  readonly x: number;
  readonly y: number;
  /** Unit vector of the writing direction. */
  readonly dx: number;
  readonly dy: number;
  readonly size: number;
}

interface OpenWord {
  text: string;
  box: SourceBox;
}

interface OpenLine {
  readonly words: OpenWord[];
  readonly sizeMm: number;
  readonly font: string;
  readonly isMirrored: boolean;
}

/**
 * The live text that shows, as words and lines in drawn mm, in painting order. Lettering converted to outlines consists
 * of paths and is not found. @throws PdfProblem when the content cannot be read
 */
export async function pageLettering(page: ContentPage): Promise<LetteringLine[]> {
  const lines: OpenLine[] = [];
  let pen: Pen | undefined;
  let isWordOpen = false;
  let words = 0;

  function place(glyph: PlacedGlyph, toDrawn: Matrix, enlarged: number, painted: Painted): void {
    const { font, size: ownSize } = present(painted.text, 'The text of a glyph');
    const { isVertical } = font;
    const size = ownSize * enlarged;
    const isSpace = glyph.text !== undefined && glyph.text.trim() === '';
    const here = penAt(glyph, toDrawn, isVertical, size);
    const step = pen === undefined ? undefined : stepBetween(pen, here.start);
    const isSameLine =
      step !== undefined &&
      lines.length > 0 &&
      step.across <= LINE_DRIFT &&
      step.along >= -STEP_BACK &&
      step.along <= LINE_GAP &&
      step.isParallel;
    pen = here.end;
    if (isSpace) {
      isWordOpen = false;
      return;
    }
    if (!isSameLine) {
      lines.push({ words: [], sizeMm: here.end.size, font: font.name, isMirrored: isMirror(toDrawn) });
    }
    const line = lastOf(lines);
    const text = glyph.text ?? '\ufffd';
    const box = boxTransformed(glyph, toDrawn);
    const word = line.words.at(-1);
    if (isSameLine && isWordOpen && word !== undefined && step.along <= WORD_GAP) {
      word.text += text;
      word.box = boxUnion(word.box, box);
    } else {
      line.words.push({ text, box });
      if (++words > MAX_WORDS) throw problemTooLarge('The page has more than a million words of live text.');
    }
    isWordOpen = true;
  }

  await walkContent(page, {
    wantsGlyphs: true,
    onPainted(painted) {
      const { text, bounds, clip, isVisible, level: at } = painted;
      if (text === undefined || !isVisible || at.isByProxy || isBoxEmpty(boxOverlap(bounds, clip))) return;
      const toDrawn = matrixProduct(text.matrix, page.space.toDrawn);
      const drawn = drawnGlyphs(painted);
      for (const glyph of text.glyphs) {
        place(
          drawn ? { ...glyph, y0: drawn.y0, y1: drawn.y1 } : glyph,
          toDrawn,
          drawn?.enlarged ?? 1,
          painted,
        );
      }
    },
  });
  return lines.filter((line) => line.words.length > 0).map(lineClosed);
}

function lineClosed(line: OpenLine): LetteringLine {
  const words = line.words.map(({ text, box }) => ({ text, drawn: rectFromDrawnBox(box) }));
  return {
    text: words.map((word) => word.text).join(' '),
    drawn: rectFromDrawnBox(line.words.map((word) => word.box).reduce(boxUnion)),
    words,
    sizeMm: line.sizeMm,
    font: line.font,
    isMirrored: line.isMirrored,
  };
}

/** Glyph space has y up and drawn space has y down, so readable text has exactly one flip. */
const isMirror = ([a, b, c, d]: Matrix): boolean => a * d - b * c > 0;

const rectFromDrawnBox = (box: SourceBox): Rect<'drawn'> => ({
  x: box.x0,
  y: box.y0,
  width: box.x1 - box.x0,
  height: box.y1 - box.y0,
});

/** The font's stated height is used where the glyphs are within this factor of it. */
const SAME_HEIGHT = 1.6;

/**
 * How high the drawings of a Type 3 font reach in text space, and the ratio of that height to its stated size, because
 * in such a font the font's matrix sets the size of an em. Undefined where the size can be trusted, and for turned
 * text.
 */
function drawnGlyphs({
  text,
  bounds,
}: Painted): { readonly y0: number; readonly y1: number; readonly enlarged: number } | undefined {
  const [glyph] = text?.glyphs ?? [];
  if (text?.font.type3 === undefined || glyph === undefined) return undefined;
  const [, b, c, d, , f] = text.matrix;
  if (b !== 0 || c !== 0 || d === 0) return undefined;
  const [one, other] = [(bounds.y0 - f) / d, (bounds.y1 - f) / d];
  const [y0, y1] = [Math.min(one, other), Math.max(one, other)];
  const enlarged = (y1 - y0) / (glyph.y1 - glyph.y0);
  const isOther = enlarged > SAME_HEIGHT || enlarged < 1 / SAME_HEIGHT || y1 <= 0;
  return Number.isFinite(enlarged) && enlarged > 0 && isOther ? { y0, y1, enlarged } : undefined;
}

/** Where a glyph's pen starts and ends, along the middle of its line. */
function penAt(glyph: PlacedGlyph, m: Matrix, isVertical: boolean, size: number): { start: Pen; end: Pen } {
  const middle = isVertical ? (glyph.x0 + glyph.x1) / 2 : (glyph.y0 + glyph.y1) / 2;
  const [x0, y0] = isVertical ? matrixPoint(m, middle, glyph.y1) : matrixPoint(m, glyph.x0, middle);
  const [x1, y1] = isVertical ? matrixPoint(m, middle, glyph.y0) : matrixPoint(m, glyph.x1, middle);
  const [ux, uy] = isVertical ? [-m[2], -m[3]] : [m[0], m[1]];
  const length = Math.hypot(ux, uy) || 1;
  const height = Math.abs(size) * (isVertical ? Math.hypot(m[0], m[1]) : Math.hypot(m[2], m[3]));
  const direction = { dx: ux / length, dy: uy / length, size: height };
  return { start: { x: x0, y: y0, ...direction }, end: { x: x1, y: y1, ...direction } };
}

/** From the end of one glyph to the start of the next, in font sizes, along the line and off it. */
function stepBetween(from: Pen, to: Pen): { along: number; across: number; isParallel: boolean } {
  const size = Math.max(from.size, to.size) || 1;
  const x = (to.x - from.x) / size;
  const y = (to.y - from.y) / size;
  return {
    along: x * from.dx + y * from.dy,
    across: Math.abs(x * from.dy - y * from.dx),
    isParallel: from.dx * to.dx + from.dy * to.dy > 0.99,
  };
}
