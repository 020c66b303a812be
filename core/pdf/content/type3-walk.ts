import { boxUnion, type Matrix, matrixProduct, type SourceBox } from '../page/page-space.ts';
import { boxOverlap, boxTransformed, EVERYWHERE, IDENTITY, isBoxEmpty, NOWHERE } from './bounds.ts';
import type { GlyphCode, Type3Glyphs } from './font.ts';
import { GraphicsState } from './graphics-state.ts';
import type { Painted } from './painted.ts';
import { formInfoFrom } from './resources.ts';
import type { StreamWalk } from './stream-walk.ts';

/**
 * Walks the procedures of Type 3 glyphs, each the first time it is shown. That walk stands for all uses, so what a
 * glyph paints is reported for the whole line of text.
 */
export async function enterGlyphs(
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
  const area = boxOverlap(painted.bounds, painted.clip);
  for (const code of new Set(codes.map((glyph) => glyph.code))) {
    const procedure = await type3.procedure(code);
    if (procedure === undefined || !at.walk.isFirst(procedure, [0, 0, 0, 0, 0, 0])) continue;
    const form = await formInfoFrom(procedure, undefined, at.walk.objects);
    const inside = state.copy();
    inside.ctm = glyphMatrix;
    inside.clip = EVERYWHERE;
    const glyph = { ...form, box: undefined, resources: type3.resources };
    await at.walkNested(glyph, { kind: 'glyph', state: inside, isVisible: painted.isVisible, area });
  }
}

/**
 * The box around the glyphs of these codes, each at the origin, in ems. It is measured by walking their procedures,
 * because the box that a Type 3 font states is often empty or wrong.
 */
export async function glyphsBox(
  at: StreamWalk,
  type3: Type3Glyphs,
  codes: readonly GlyphCode[],
): Promise<SourceBox> {
  const measured = at.walk.glyphBoxes(type3);
  let box = NOWHERE;
  for (const { code } of codes) {
    let glyph = measured.get(code);
    if (glyph === undefined) {
      glyph = boxTransformed(await procedureBox(at, type3, code), type3.matrix);
      measured.set(code, glyph);
    }
    if (!isBoxEmpty(glyph)) box = boxUnion(box, glyph);
  }
  return box;
}

async function procedureBox(at: StreamWalk, type3: Type3Glyphs, code: number): Promise<SourceBox> {
  const procedure = await type3.procedure(code);
  if (procedure === undefined) return NOWHERE;
  let box = NOWHERE;
  const measuring = at.walk.sibling({
    onPainted({ kind, bounds, clip }) {
      const shown = boxOverlap(bounds, clip);
      if (kind !== 'form' && !isBoxEmpty(shown)) box = boxUnion(box, shown);
    },
  });
  const form = await formInfoFrom(procedure, undefined, at.walk.objects);
  const state = new GraphicsState(IDENTITY, EVERYWHERE);
  state.lineWidth = at.state.lineWidth;
  const glyph = { ...form, box: undefined, resources: type3.resources };
  await at.walkNested(glyph, { kind: 'glyph', state, isVisible: true }, measuring);
  return box;
}
