import { codePointOf, firstOf, present, valueAt } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import type { FontRole } from './drawing.ts';
import { type FontFace, fontFaceFromBytes, glyphsOfText, isSimpleText } from './font-face.ts';
import { directedTexts, isRightToLeftLetter, type PrintableText, printableText } from './printable-text.ts';

/** Font files as bytes. The fallbacks replace the first two for single characters that have no glyph in them. */
export interface FontFiles {
  readonly regular: Uint8Array;
  readonly bold: Uint8Array;
  readonly fallbackRegular?: Uint8Array;
  readonly fallbackBold?: Uint8Array;
}

export type FaceName = keyof FontFiles;

/** A stretch of one line in one face; stretches follow each other from left to right. */
export interface TextRun {
  readonly face: FaceName;
  readonly text: string;
}

/** Data about type for the layout of sheets and marks. */
export interface FontMetrics {
  /** Makes text printable on one line, see printableText; characters that no font can draw are added to `missing`. */
  printable(text: string): string;
  /** Width of one line of printable text. */
  width(text: string, role: FontRole, sizeMm: Mm): Mm;
}

export interface FontLibrary extends FontMetrics {
  /** The bytes of a face. */
  file(face: FaceName): Uint8Array;
  /** PostScript name of a face. */
  faceName(face: FaceName): string;
  /** In line order. */
  runs(text: string, role: FontRole): readonly TextRun[];
}

/** Size limit of the caches: a library lives as long as the program, and its caches must not grow with every job. */
const MAX_REMEMBERED = 20_000;

const FACES: Readonly<Record<FontRole, readonly FaceName[]>> = {
  regular: ['regular', 'fallbackRegular', 'fallbackBold'],
  bold: ['bold', 'fallbackBold', 'fallbackRegular'],
};

/**
 * Opens the fonts. A font that cannot be read throws, because the fonts ship with the program, so it is a bug.
 * `onMissing` is called with each character that no font can draw.
 */
export function fontLibraryFromFiles(
  files: FontFiles,
  onMissing: (character: string) => void = () => {},
): FontLibrary {
  const fonts = new Map<FaceName, FontFace>();
  for (const name of ['regular', 'bold', 'fallbackRegular', 'fallbackBold'] as const) {
    const bytes = files[name];
    if (bytes) fonts.set(name, fontFaceFromBytes(bytes));
  }
  const runsByLine = new Map<string, readonly TextRun[]>();
  const emsByText = { regular: new Map<string, number>(), bold: new Map<string, number>() };
  const emsByCharacter = { regular: new Map<string, number>(), bold: new Map<string, number>() };
  const printables = new Map<string, PrintableText>();

  const faceFor = (
    codePoint: number,
    role: FontRole,
    previous: FaceName | undefined,
  ): FaceName | undefined => {
    const candidates = previous ? [previous, ...FACES[role]] : FACES[role];
    return candidates.find((name) => fonts.get(name)?.hasGlyphForCodePoint(codePoint));
  };

  const runs = (text: string, role: FontRole): readonly TextRun[] => {
    const key = `${role}:${text}`;
    const known = runsByLine.get(key);
    if (known) return known;
    const found = directedTexts(text).flatMap(({ text: stretch, isRightToLeft }) => {
      const pieces: { face: FaceName; text: string }[] = [];
      const letter = isRightToLeft ? [...stretch].find(isRightToLeftLetter) : undefined;
      const letterFace = letter ? faceFor(codePointOf(letter), role, undefined) : undefined;
      for (const character of stretch) {
        const last = pieces.at(-1);
        // In a right-to-left stretch, marks stay with the letters; otherwise they would be set left to right.
        const stay = letterFace ?? (/\p{M}/u.test(character) ? last?.face : undefined);
        const face = faceFor(codePointOf(character), role, stay) ?? firstOf(FACES[role]);
        if (last?.face === face) last.text += character;
        else pieces.push({ face, text: character });
      }
      return isRightToLeft ? pieces.reverse() : pieces;
    });
    if (runsByLine.size > MAX_REMEMBERED) runsByLine.clear();
    runsByLine.set(key, found);
    return found;
  };

  const shapedWidth = (text: string, role: FontRole): number => {
    let ems = 0;
    for (const run of runs(text, role)) {
      const font = valueAt(fonts, run.face);
      for (const glyph of glyphsOfText(font, run.text)) {
        ems += glyph.advanceWidth / font.unitsPerEm;
      }
    }
    return ems;
  };

  /** Letters with separate glyphs are measured once each; other scripts join and change letters. */
  const measuredWidth = (text: string, role: FontRole): number => {
    if (!isSimpleText(text)) return shapedWidth(text, role);
    let ems = 0;
    for (const character of text)
      ems += remembered(emsByCharacter[role], character, () => shapedWidth(character, role));
    return ems;
  };

  const emWidth = (text: string, role: FontRole): number =>
    remembered(emsByText[role], text, () => measuredWidth(text, role));

  const hasGlyph = (codePoint: number) => faceFor(codePoint, 'regular', undefined) !== undefined;
  return {
    file: (face) => present(files[face], 'The file of a font'),
    faceName: (face) => fonts.get(face)?.postscriptName ?? face,
    runs,
    width: (text, role, sizeMm) => emWidth(text, role) * sizeMm,
    printable: (text) => {
      const known = printables.get(text);
      const found = known ?? printableText(text, hasGlyph);
      if (printables.size > MAX_REMEMBERED) printables.clear();
      if (!known) printables.set(text, found);
      for (const character of found.missing) onMissing(character);
      return found.text;
    },
  };
}

function remembered<T>(known: Map<string, T>, key: string, find: () => T): T {
  const found = known.get(key);
  if (found !== undefined) return found;
  if (known.size > MAX_REMEMBERED) known.clear();
  const value = find();
  known.set(key, value);
  return value;
}
