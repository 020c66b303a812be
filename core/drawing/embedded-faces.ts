import { type PDFContext, type PDFDict, PDFName, type PDFRef, PDFString } from 'pdf-lib';
import { codePointOf, valueAt } from '../measure/present.ts';
import { type Drawing, type TextItem, textOrigin, turnDirection } from './drawing.ts';
import {
  type FontFace,
  type FontGlyph,
  type FontSubset,
  fontFaceFromBytes,
  glyphsOfText,
} from './font-face.ts';
import type { FaceName, FontLibrary } from './font-library.ts';
import type { PageUnits } from './pdf-content.ts';

/** The faces that a set of drawings uses, as subsets in one document. */
export interface EmbeddedFaces {
  /** Operators for one line; adds the faces they use to the font `resources`. */
  text(item: TextItem, units: PageUnits, resources: PDFDict): string;
  /** Writes the subsets. Call it once, after all text. */
  finish(): void;
}

/**
 * Prepares all fonts of the drawings for embedding. pdf-lib also embeds fonts, but only asynchronously; this way a
 * panel's marks are drawn synchronously.
 */
export function embeddedFaces(
  context: PDFContext,
  drawings: readonly Drawing[],
  fonts: FontLibrary,
): EmbeddedFaces {
  const faces = new Map<FaceName, FaceSubset>();
  for (const [face, characters] of charactersByFace(drawings, fonts)) {
    const name = `${subsetTag(face, characters)}+${fonts.faceName(face)}`;
    faces.set(face, new FaceSubset(context.nextRef(), fonts.file(face), name));
  }
  return {
    text(item, units, resources) {
      const origin = textOrigin(item);
      const along = turnDirection(item.turn);
      const turn = `${along.x} ${-along.y || 0} ${along.y} ${along.x}`;
      const shown = fonts.runs(item.text, item.role).map(({ face, text }) => {
        const subset = valueAt(faces, face);
        resources.set(PDFName.of(face), subset.ref);
        return `/${face} ${units.length(item.sizeMm)} Tf <${subset.codes(text)}> Tj`;
      });
      return ['BT', `${turn} ${units.x(origin.x)} ${units.y(origin.y)} Tm`, ...shown, 'ET'].join('\n');
    },
    finish() {
      for (const subset of faces.values()) subset.write(context);
    },
  };
}

function charactersByFace(
  drawings: readonly Drawing[],
  fonts: FontLibrary,
): (readonly [FaceName, ReadonlySet<string>])[] {
  const used = new Map<FaceName, Set<string>>();
  for (const item of drawings.flatMap(({ items }) => items)) {
    if (item.kind !== 'text') continue;
    for (const { face, text } of fonts.runs(item.text, item.role)) {
      const characters = used.get(face) ?? new Set();
      for (const character of text) characters.add(character);
      used.set(face, characters);
    }
  }
  return [...used].sort(([a], [b]) => (a < b ? -1 : 1));
}

/**
 * A subset needs a tag that no other subset of the same font has (ISO 32000-1, 9.6.4). It is an FNV-1a hash of the
 * text, so it changes only when the subset does. The hash need not be secure.
 */
function subsetTag(face: FaceName, characters: ReadonlySet<string>): string {
  let hash = 0x811c9dc5;
  for (const character of [face, ...[...characters].sort()].join('')) {
    hash = Math.imul(hash ^ codePointOf(character), 0x01000193) >>> 0;
  }
  let tag = '';
  for (let i = 0; i < 6; i += 1) {
    tag += String.fromCharCode(65 + (hash % 26));
    hash = Math.floor(hash / 26);
  }
  return tag;
}

interface ShownGlyph {
  readonly glyph: FontGlyph;
  readonly text: string;
}

/** One face as a Type 0 font whose codes are the glyph numbers of its subset (ISO 32000-1, 9.7). */
class FaceSubset {
  readonly ref: PDFRef;
  readonly #font: FontFace;
  readonly #subset: FontSubset;
  readonly #name: string;
  readonly #glyphs = new Map<number, ShownGlyph>();

  constructor(ref: PDFRef, bytes: Uint8Array, name: string) {
    this.ref = ref;
    this.#font = fontFaceFromBytes(bytes);
    this.#subset = this.#font.createSubset();
    this.#name = name;
  }

  codes(text: string): string {
    const glyphs = glyphsOfText(this.#font, text);
    const signs = new Map<number, string>();
    for (const sign of text) {
      const { id } = this.#font.glyphForCodePoint(codePointOf(sign));
      if (!signs.has(id)) signs.set(id, sign);
    }
    return glyphs
      .map((glyph) => {
        const code = this.#subset.includeGlyph(glyph);
        const text = signs.get(glyph.id) ?? String.fromCodePoint(...glyph.codePoints);
        if (!this.#glyphs.has(code)) this.#glyphs.set(code, { glyph, text });
        return hex(code);
      })
      .join('');
  }

  write(context: PDFContext): void {
    const font = this.#font;
    const per1000 = (units: number) => Math.round((units * 1000) / font.unitsPerEm);
    const file = withSearchFields(this.#subset.encode());
    const descriptor = context.obj({
      Type: 'FontDescriptor',
      FontName: this.#name,
      // Symbolic: the codes are glyph numbers of this subset and follow no standard encoding (Table 123).
      Flags: 4,
      FontBBox: [font.bbox.minX, font.bbox.minY, font.bbox.maxX, font.bbox.maxY].map(per1000),
      ItalicAngle: 0,
      Ascent: per1000(font.ascent),
      Descent: per1000(font.descent),
      CapHeight: per1000(font.capHeight || font.ascent),
      StemV: 80,
      FontFile2: context.register(context.flateStream(file, { Length1: file.length })),
    });
    const descendant = context.obj({
      Type: 'Font',
      Subtype: 'CIDFontType2',
      BaseFont: this.#name,
      CIDSystemInfo: { Registry: PDFString.of('Adobe'), Ordering: PDFString.of('Identity'), Supplement: 0 },
      CIDToGIDMap: 'Identity',
      FontDescriptor: context.register(descriptor),
      W: this.#inOrder().flatMap(([code, { glyph }]) => [
        code,
        [(glyph.advanceWidth * 1000) / font.unitsPerEm],
      ]),
    });
    const type0 = context.obj({
      Type: 'Font',
      Subtype: 'Type0',
      BaseFont: this.#name,
      Encoding: 'Identity-H',
      DescendantFonts: [context.register(descendant)],
      ToUnicode: context.register(context.flateStream(this.#toUnicode())),
    });
    context.assign(this.ref, type0);
  }

  #inOrder(): (readonly [number, ShownGlyph])[] {
    return [...this.#glyphs].sort(([a], [b]) => a - b);
  }

  /** Maps codes back to text, so that a sheet can be searched (9.10.3). A block has at most 100 entries. */
  #toUnicode(): string {
    const entries = this.#inOrder()
      .filter(([, { text }]) => text !== '')
      .map(([code, { text }]) => `<${hex(code)}> <${utf16Hex(text)}>`);
    const blocks: string[] = [];
    for (let i = 0; i < entries.length; i += 100) {
      const block = entries.slice(i, i + 100);
      blocks.push(`${block.length} beginbfchar\n${block.join('\n')}\nendbfchar`);
    }
    return [
      '/CIDInit /ProcSet findresource begin',
      '12 dict begin',
      'begincmap',
      '/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def',
      '/CMapName /Adobe-Identity-UCS def',
      '/CMapType 2 def',
      '1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange',
      ...blocks,
      'endcmap',
      'CMapName currentdict /CMap defineresource pop',
      'end\nend',
    ].join('\n');
  }
}

const hex = (code: number): string => code.toString(16).padStart(4, '0').toUpperCase();

const utf16Hex = (text: string): string =>
  Array.from({ length: text.length }, (_, i) => hex(text.charCodeAt(i))).join('');

/**
 * Corrects the search fields in a font file's header (OpenType 1.9, “Table Directory”), which hold the greatest power
 * of two up to the number of tables. The subset writer computes them with logarithms, whose last bit differs between
 * runtimes.
 */
function withSearchFields(file: Uint8Array): Uint8Array {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const tables = view.getUint16(4);
  const exponent = 31 - Math.clz32(tables);
  const range = 16 << exponent;
  view.setUint16(6, range);
  view.setUint16(8, exponent);
  view.setUint16(10, 16 * tables - range);
  return file;
}
