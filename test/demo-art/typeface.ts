import { readFileSync } from 'node:fs';
import { create, type Font, type Glyph, type GlyphRun } from 'fontkit';
import { type PDFRef, PDFString } from 'pdf-lib';
import type { ArtDocument } from './art-document.ts';
import { type Canvas, numbers, type Paint, PT_PER_FINISHED_MM } from './canvas.ts';
import type { Path, Step } from './path.ts';
import type { Box } from './scene.ts';

const fontBytes = (name: string): Uint8Array =>
  readFileSync(new URL(`../../node_modules/@expo-google-fonts/${name}`, import.meta.url));

/** Lettering brought to the size and place at which its ink fills the width of a box. Finished mm. */
export interface SetLine {
  readonly text: string;
  readonly sizeMm: number;
  readonly x: number;
  readonly baseline: number;
}

/** One font of the artwork: measures lettering, draws its outlines, and embeds the glyphs that were shown. */
export class Typeface {
  private readonly font: Font;
  private readonly document: ArtDocument;
  private readonly ref: PDFRef;
  private readonly subset;
  /** Glyphs of the subset in order; 0 is the missing glyph. */
  private readonly shown = new Map<number, Glyph>();

  constructor(document: ArtDocument, file: string) {
    this.document = document;
    this.font = create(fontBytes(file));
    this.subset = this.font.createSubset();
    this.ref = document.context.nextRef();
  }

  static zillaSlab = (document: ArtDocument): Typeface =>
    new Typeface(document, 'zilla-slab/700Bold/ZillaSlab_700Bold.ttf');

  static notoSans = (document: ArtDocument): Typeface =>
    new Typeface(document, 'noto-sans/600SemiBold/NotoSans_600SemiBold.ttf');

  /** The line whose ink is exactly as wide as the box and stands on its lower edge. */
  lineFitted(text: string, box: Box): SetLine {
    const { minX, minY, maxX } = this.inkBounds(this.font.layout(text));
    const sizeMm = box.width / (maxX - minX);
    return { text, sizeMm, x: box.x - minX * sizeMm, baseline: box.y + box.height + minY * sizeMm };
  }

  /** The ink of a set line in finished mm. */
  lineInk(set: SetLine): Box {
    const { minX, minY, maxX, maxY } = this.inkBounds(this.font.layout(set.text));
    return {
      x: set.x + minX * set.sizeMm,
      y: set.baseline - maxY * set.sizeMm,
      width: (maxX - minX) * set.sizeMm,
      height: (maxY - minY) * set.sizeMm,
    };
  }

  /** Shows the line as text in the embedded font. */
  show(canvas: Canvas, paint: Paint, set: SetLine): void {
    const upright = canvas.upright;
    const run = this.font.layout(set.text);
    const items: string[] = [];
    for (const [i, glyph] of run.glyphs.entries()) {
      items.push(`<${this.code(glyph).toString(16).padStart(4, '0')}>`);
      const kern = glyph.advanceWidth - (run.positions[i]?.xAdvance ?? glyph.advanceWidth);
      if (kern !== 0) items.push(numbers((kern * 1000) / this.font.unitsPerEm));
    }
    const name = upright.resources.use('Font', this.font.postscriptName.replace('-', ''), this.ref);
    const [x, y] = upright.point(set.x, set.baseline);
    upright.write(upright.paintOperator(paint, 'fill'));
    upright.write(`BT ${name} ${numbers(set.sizeMm * PT_PER_FINISHED_MM)} Tf ${numbers(x, y)} Td`);
    upright.write(`[${items.join('')}] TJ ET`);
  }

  /** The line's outlines in finished mm, for lettering that is sent as shapes. */
  outline(set: SetLine): Path {
    const k = set.sizeMm / this.font.unitsPerEm;
    const run = this.font.layout(set.text);
    const steps: Step[] = [];
    let pen = set.x;
    for (const [i, glyph] of run.glyphs.entries()) {
      steps.push(...glyphSteps(glyph, pen, set.baseline, k));
      pen += (run.positions[i]?.xAdvance ?? glyph.advanceWidth) * k;
    }
    return steps;
  }

  /** Writes the font with the glyphs shown so far. Call once, after all lettering is drawn. */
  embed(): void {
    if (this.shown.size === 0) return;
    const { font, document } = this;
    const program = this.subset.encode();
    const k = 1000 / font.unitsPerEm;
    const name = `${subsetTag([...this.shown.values()])}+${font.postscriptName}`;
    const descriptor = document.add({
      Type: 'FontDescriptor',
      FontName: name,
      Flags: 4,
      FontBBox: [font.bbox.minX * k, font.bbox.minY * k, font.bbox.maxX * k, font.bbox.maxY * k],
      ItalicAngle: 0,
      Ascent: font.ascent * k,
      Descent: font.descent * k,
      CapHeight: font.capHeight * k,
      StemV: 120,
      FontFile2: document.stream({ Length1: program.length }, program),
    });
    const codes = [...this.shown].sort(([a], [b]) => a - b);
    const identity = { Registry: PDFString.of('Adobe'), Ordering: PDFString.of('Identity') };
    const descendant = document.add({
      Type: 'Font',
      Subtype: 'CIDFontType2',
      BaseFont: name,
      CIDSystemInfo: { ...identity, Supplement: 0 },
      FontDescriptor: descriptor,
      CIDToGIDMap: 'Identity',
      W: codes.flatMap(([code, glyph]) => [code, [glyph.advanceWidth * k]]),
    });
    const font0 = document.value({
      Type: 'Font',
      Subtype: 'Type0',
      BaseFont: name,
      Encoding: 'Identity-H',
      DescendantFonts: [descendant],
      ToUnicode: document.stream({}, toUnicodeMap(codes)),
    });
    document.context.assign(this.ref, font0);
  }

  private code(glyph: Glyph): number {
    const code = this.subset.includeGlyph(glyph);
    this.shown.set(code, glyph);
    return code;
  }

  /** Bounds of the ink, not of the advance widths, in ems. */
  private inkBounds(run: GlyphRun): { minX: number; minY: number; maxX: number; maxY: number } {
    const em = this.font.unitsPerEm;
    const { minX, minY, maxX, maxY } = run.bbox;
    return { minX: minX / em, minY: minY / em, maxX: maxX / em, maxY: maxY / em };
  }
}

function glyphSteps(glyph: Glyph, x: number, baseline: number, k: number): Step[] {
  const steps: Step[] = [];
  let [fromX, fromY] = [x, baseline];
  for (const { command, args } of glyph.path.commands) {
    const p = args.map((value, i) => (i % 2 === 0 ? x + value * k : baseline - value * k));
    const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = p;
    if (command === 'moveTo') steps.push(['M', a, b]);
    else if (command === 'lineTo') steps.push(['L', a, b]);
    else if (command === 'bezierCurveTo') steps.push(['C', a, b, c, d, e, f]);
    else if (command === 'quadraticCurveTo') {
      const third = (from: number, control: number): number => from + (2 / 3) * (control - from);
      steps.push(['C', third(fromX, a), third(fromY, b), third(c, a), third(d, b), c, d]);
    } else steps.push(['Z']);
    if (p.length >= 2) [fromX, fromY] = [p.at(-2) ?? fromX, p.at(-1) ?? fromY];
  }
  return steps;
}

/** Six capitals that stand for this choice of glyphs (ISO 32000-1, 9.6.4). */
function subsetTag(glyphs: readonly Glyph[]): string {
  let sum = glyphs.reduce((value, glyph) => (value * 33 + glyph.id) % 308915776, 5381);
  let tag = '';
  for (let i = 0; i < 6; i += 1) {
    tag += String.fromCharCode(65 + (sum % 26));
    sum = Math.floor(sum / 26);
  }
  return tag;
}

/** Glyph codes back to characters, so that the lettering can be searched and copied. */
function toUnicodeMap(codes: readonly (readonly [number, Glyph])[]): string {
  const hex = (value: number): string => value.toString(16).padStart(4, '0');
  const pairs = codes
    .filter(([, glyph]) => glyph.codePoints.length > 0)
    .map(([code, glyph]) => `<${hex(code)}> <${glyph.codePoints.map(hex).join('')}>`);
  const blocks: string[] = [];
  for (let i = 0; i < pairs.length; i += 100) {
    const block = pairs.slice(i, i + 100);
    blocks.push(`${block.length} beginbfchar\n${block.join('\n')}\nendbfchar`);
  }
  return [
    '/CIDInit /ProcSet findresource begin 12 dict begin begincmap',
    '/CMapName /Lettering def /CMapType 2 def',
    '1 begincodespacerange <0000> <ffff> endcodespacerange',
    ...blocks,
    'endcmap CMapName currentdict /CMap defineresource pop end end',
  ].join('\n');
}
