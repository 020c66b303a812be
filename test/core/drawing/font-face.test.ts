import { expect, test } from 'vitest';
import {
  fontFaceFromBytes,
  glyphsOfText,
  isSimpleText,
  shapedGlyphs,
} from '../../../core/drawing/font-face.ts';
import { testFonts } from '../sheets/fixture.ts';

test('a character that stands for itself is the glyph that the shaping of its font gives', () => {
  for (const name of ['regular', 'fallbackBold'] as const) {
    const font = fontFaceFromBytes(testFonts().file(name));
    let looked = 0;
    for (let codePoint = 0x20; codePoint <= 0x25a1; codePoint += 1) {
      const character = String.fromCodePoint(codePoint);
      if (!isSimpleText(character) || !font.hasGlyphForCodePoint(codePoint)) continue;
      looked += 1;
      const ids = glyphsOfText(font, character).map(({ id, advanceWidth }) => [id, advanceWidth]);
      const shaped = shapedGlyphs(font, character).map(({ id, advanceWidth }) => [id, advanceWidth]);
      expect(ids, `${name} U+${codePoint.toString(16)}`).toEqual(shaped);
    }
    expect(looked, name).toBeGreaterThan(1000);
  }
});

test('a text from right to left changes no later text', () => {
  const font = fontFaceFromBytes(testFonts().file('regular'));
  const sum = () => shapedGlyphs(font, '\u2140').map(({ id }) => id);
  const before = sum();
  shapedGlyphs(font, '\u05de\u05db\u05ea\u05d1\u05d4');
  expect(sum()).toEqual(before);
});
