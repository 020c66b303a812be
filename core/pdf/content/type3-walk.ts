import { type Matrix, matrixProduct } from '../page-space.ts';
import { boxOverlap } from './bounds.ts';
import type { GlyphCode } from './font.ts';
import type { Painted } from './painted.ts';
import { formInfoFrom } from './resources.ts';
import type { StreamWalk } from './stream-walk.ts';

/**
 * Walks the procedures of Type 3 glyphs, each the first time that it is shown. They stand for all their uses,
 * so what they paint is reported where the whole line of text lies.
 */
export async function glyphsEntered(
  at: StreamWalk,
  painted: Painted,
  codes: readonly GlyphCode[],
  textToUser: Matrix,
): Promise<void> {
  const { text, state } = painted;
  const type3 = text?.font.type3;
  if (text === undefined || type3 === undefined) return;
  const scaled: Matrix = [text.size * state.widthScale, 0, 0, text.size, 0, state.rise];
  const glyphMatrix = matrixProduct(matrixProduct(type3.matrix, scaled), textToUser);
  for (const code of new Set(codes.map((glyph) => glyph.code))) {
    const procedure = await type3.procedure(code);
    if (procedure === undefined || !at.walk.isFirst(procedure, [0, 0, 0, 0, 0, 0])) continue;
    const form = await formInfoFrom(procedure, undefined, at.walk.objects);
    const inside = state.copy();
    inside.ctm = glyphMatrix;
    inside.clip = boxOverlap(painted.bounds, painted.clip);
    const glyph = { ...form, box: undefined, resources: type3.resources };
    await at.nested(glyph, { kind: 'glyph', state: inside, isVisible: painted.isVisible });
  }
}
