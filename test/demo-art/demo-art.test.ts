import { createHash } from 'node:crypto';
import { inflateSync } from 'node:zlib';
import { create } from 'fontkit';
import { PDFArray, PDFDict, PDFDocument, PDFName, type PDFObject, type PDFPage, PDFRawStream } from 'pdf-lib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { beforeAll, describe, expect, it } from 'vitest';
import type { DemoName } from '../../main/job/demo-jobs.ts';
import { demoArt } from '../support/demo-art.ts';
import { demoArtBookmobile, demoArtTrailer } from './make-art.ts';
import { BOOKMOBILE, type SceneSide, type SceneUnit, TRAILER } from './scene.ts';

const MAX_BYTES = 6_000_000;
const MM_PER_PT = 25.4 / 72;
const SLOW_MS = 60_000;

const ARTWORKS: readonly { unit: SceneUnit; name: DemoName; draw: () => Promise<Uint8Array> }[] = [
  { unit: BOOKMOBILE, name: 'bookmobile', draw: demoArtBookmobile },
  { unit: TRAILER, name: 'trailer', draw: demoArtTrailer },
];

describe.each(ARTWORKS)('artwork $unit.fileName', ({ unit, name, draw }) => {
  let bytes: Uint8Array;
  let document: PDFDocument;

  beforeAll(async () => {
    bytes = await demoArt(name);
    document = await PDFDocument.load(bytes, { updateMetadata: false });
  }, SLOW_MS);

  const side = (page: number): SceneSide => {
    const found = unit.sides.find((candidate) => candidate.page === page);
    if (!found) throw new Error(`no side on page ${page}`);
    return found;
  };

  it(
    'is what the program beside this test draws, however its streams are packed',
    async () => {
      const anew = await PDFDocument.load(await draw(), { updateMetadata: false });
      expect(objectsOf(anew)).toEqual(objectsOf(document));
      expect(bytes.length).toBeLessThan(MAX_BYTES);
    },
    SLOW_MS,
  );

  it('has a page for each side, the side its TrimBox at 1:10, the bleed its BleedBox', () => {
    expect(document.getPageCount()).toBe(unit.sides.length);
    for (const [i, page] of document.getPages().entries()) {
      const { widthMm, heightMm, bleedMm } = side(i + 1);
      const [trim, bleed, media] = [page.getTrimBox(), page.getBleedBox(), page.getMediaBox()];
      expect(trim.width * MM_PER_PT * 10).toBeCloseTo(widthMm, 2);
      expect(trim.height * MM_PER_PT * 10).toBeCloseTo(heightMm, 2);
      expect((trim.x - bleed.x) * MM_PER_PT * 10).toBeCloseTo(bleedMm, 2);
      expect((bleed.y + bleed.height - trim.y - trim.height) * MM_PER_PT * 10).toBeCloseTo(bleedMm, 2);
      expect(media.x).not.toBe(0);
      expect(media.x).toBeLessThan(bleed.x);
      expect(media.y + media.height).toBeGreaterThan(bleed.y + bleed.height);
    }
  });

  it('keeps its template on a layer that is off, as another reader sees it', async () => {
    const loading = getDocument({ data: bytes.slice(), verbosity: 0 });
    const pdf = await loading.promise;
    const config = await pdf.getOptionalContentConfig();
    const groups = [...config].map(([, group]) => group);
    expect(groups.map((group) => group.name)).toEqual(['Vehicle template']);
    expect(groups.map((group) => group.visible)).toEqual([false]);
    for (const page of document.getPages()) expect(contentOf(page)).toContain('/OC /Template BDC');
    await loading.destroy();
  });

  it('says its lettering as text that another reader can read', async () => {
    const loading = getDocument({ data: bytes.slice(), verbosity: 0 });
    const pdf = await loading.promise;
    for (const { page, lettering } of unit.sides) {
      const { items } = await (await pdf.getPage(page)).getTextContent();
      const text = items.map((item) => ('str' in item ? item.str : '')).join(' ');
      for (const id of ['phone', 'address'])
        expect(text).toContain(lettering.find((box) => box.id === id)?.text);
    }
    await loading.destroy();
  });

  it('prints an own red from a plate of its own, with a process stand-in', () => {
    const spaces = document
      .getPages()
      .map((page) => resourceDict(page, 'ColorSpace').lookup(PDFName.of('AlderRed'), PDFArray));
    for (const space of spaces) {
      expect(String(space.get(0))).toBe('/Separation');
      expect(String(space.get(1))).toBe('/ACL#20Alder#20Red');
      expect(String(space.get(2))).toBe('/DeviceCMYK');
    }
    for (const page of document.getPages()) expect(contentOf(page)).toMatch(/\/AlderRed cs [\d.]+ scn/);
  });

  it('overprints black lettering on flat gold', () => {
    for (const page of document.getPages()) {
      const state = resourceDict(page, 'ExtGState').lookup(PDFName.of('Overprint'), PDFDict);
      expect(['OP', 'op', 'OPM'].map((key) => String(state.get(PDFName.of(key))))).toEqual([
        'true',
        'true',
        '1',
      ]);
      expect(contentOf(page)).toMatch(/\/Overprint gs\n0 0 0 1 k\nBT/);
    }
  });

  it('fills with axial, radial and tiling patterns that have matrices of their own', () => {
    const kinds = new Set<string>();
    for (const page of document.getPages()) {
      for (const pattern of resources(page, 'Pattern')) {
        const dict = pattern instanceof PDFRawStream ? pattern.dict : pattern;
        if (!(dict instanceof PDFDict)) throw new Error('a pattern is neither a dictionary nor a stream');
        expect(dict.lookup(PDFName.of('Matrix'), PDFArray).size()).toBe(6);
        const shading = dict.lookupMaybe(PDFName.of('Shading'), PDFDict);
        kinds.add(shading ? `shading ${shading.get(PDFName.of('ShadingType'))}` : 'tiling');
      }
    }
    expect([...kinds].sort()).toEqual(['shading 2', 'shading 3', 'tiling']);
  });

  it('masks by luminosity and blends in a process page group', () => {
    for (const page of document.getPages()) {
      const group = page.node.lookup(PDFName.of('Group'), PDFDict);
      expect(String(group.get(PDFName.of('CS')))).toBe('/DeviceCMYK');
      const masks = resources(page, 'ExtGState').flatMap((state) => {
        const mask = state instanceof PDFDict ? state.lookupMaybe(PDFName.of('SMask'), PDFDict) : undefined;
        return mask ? [String(mask.get(PDFName.of('S')))] : [];
      });
      expect(new Set(masks)).toEqual(new Set(['/Luminosity']));
      const blend = resourceDict(page, 'ExtGState')
        .lookup(PDFName.of('Shadow'), PDFDict)
        .get(PDFName.of('BM'));
      expect(String(blend)).toBe('/Multiply');
    }
  });

  it('embeds the glyphs it shows and no others of its two fonts', () => {
    for (const page of document.getPages()) {
      for (const font of resources(page, 'Font')) {
        if (!(font instanceof PDFDict)) throw new Error('a font is not a dictionary');
        expect(String(font.get(PDFName.of('BaseFont')))).toMatch(
          /^\/[A-Z]{6}\+(ZillaSlab-Bold|NotoSans-SemiBold)$/,
        );
        const descendant = font.lookup(PDFName.of('DescendantFonts'), PDFArray).lookup(0, PDFDict);
        const descriptor = descendant.lookup(PDFName.of('FontDescriptor'), PDFDict);
        const program = descriptor.lookup(PDFName.of('FontFile2'));
        if (!(program instanceof PDFRawStream)) throw new Error('the font program is not a stream');
        const used = descendant
          .lookup(PDFName.of('W'), PDFArray)
          .asArray()
          .filter((_, at) => at % 2 === 0)
          .map((code) => Number(String(code)));
        const bytes = inflateSync(program.contents);
        // A glyph may be composed of others, as the ligature fi is of f and i: those come with it.
        const embedded = create(bytes);
        const parts = used.flatMap(
          (code) =>
            embedded
              .getGlyph(code)
              ._decode()
              ?.components?.map(({ glyphID }) => glyphID) ?? [],
        );
        // The table maxp of an OpenType font: its glyph count is the 16-bit number at offset 4.
        expect(glyphCount(bytes)).toBe(new Set([0, ...used, ...parts]).size);
      }
    }
  });

  it('places its pictures at 60 ppi or more at finished size', () => {
    let placed = 0;
    for (const page of document.getPages()) {
      const placing = /q (-?[\d.]+) 0 0 (-?[\d.]+) [-\d.]+ [-\d.]+ cm\n\/(\w+) Do/g;
      for (const [, width, height, name] of contentOf(page).matchAll(placing)) {
        const picture = streamDict(resourceDict(page, 'XObject').lookup(PDFName.of(name ?? '')));
        const pixels = (key: string): number => Number(String(picture.get(PDFName.of(key))));
        expect(pixels('Width') / ((Math.abs(Number(width)) * 10) / 72)).toBeGreaterThan(59.9);
        expect(pixels('Height') / ((Math.abs(Number(height)) * 10) / 72)).toBeGreaterThan(59.9);
        placed += 1;
      }
    }
    expect(placed).toBeGreaterThanOrEqual(unit.sides.length);
  });

  it('keeps color in the spaces of print', () => {
    const spaces = new Set<string>();
    for (const page of document.getPages()) {
      expect(contentOf(page)).not.toMatch(/ (rg|RG)\n/);
      for (const picture of resources(page, 'XObject')) {
        const space = streamDict(picture).lookup(PDFName.of('ColorSpace'));
        spaces.add(String(space instanceof PDFArray ? space.get(0) : space));
      }
    }
    expect(spaces).toContain('/ICCBased');
    expect(spaces).toContain(unit === BOOKMOBILE ? '/DeviceCMYK' : '/Indexed');
  });
});

/** Every object by number; of a stream what it unpacks to, as a hash. */
function objectsOf(document: PDFDocument): readonly string[] {
  return document.context.enumerateIndirectObjects().map(([ref, object]) => {
    if (!(object instanceof PDFRawStream)) return `${ref}: ${object}`;
    const dict = object.dict.clone();
    dict.delete(PDFName.of('Length'));
    const isPacked = String(dict.get(PDFName.of('Filter'))) === '/FlateDecode';
    const data = isPacked ? inflateSync(object.contents) : object.contents;
    return `${ref}: ${dict} ${createHash('sha256').update(data).digest('hex')}`;
  });
}

function contentOf(page: PDFPage): string {
  const stream = page.node.lookup(PDFName.of('Contents'));
  if (!(stream instanceof PDFRawStream)) throw new Error('the page has no single content stream');
  return inflateSync(stream.contents).toString('latin1');
}

function resourceDict(page: PDFPage, kind: string): PDFDict {
  return page.node.lookup(PDFName.of('Resources'), PDFDict).lookup(PDFName.of(kind), PDFDict);
}

function resources(page: PDFPage, kind: string): (PDFObject | undefined)[] {
  const dict = resourceDict(page, kind);
  return dict.keys().map((name) => dict.lookup(name));
}

function streamDict(object: PDFObject | undefined): PDFDict {
  if (!(object instanceof PDFRawStream)) throw new Error('a picture is not a stream');
  return object.dict;
}

/** ISO/IEC 14496-22: a directory of 16-byte records from offset 12; numGlyphs stands at offset 4 of `maxp`. */
function glyphCount(program: Buffer): number {
  for (let i = 0; i < program.readUInt16BE(4); i += 1) {
    const record = 12 + 16 * i;
    if (program.toString('latin1', record, record + 4) === 'maxp') {
      return program.readUInt16BE(program.readUInt32BE(record + 8) + 4);
    }
  }
  throw new Error('the font program has no maxp table');
}
