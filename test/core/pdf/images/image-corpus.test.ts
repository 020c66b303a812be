import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  PDFArray,
  PDFBool,
  PDFDict,
  PDFDocument,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
} from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import {
  cropEntries,
  cropImage,
  type ImageDescription,
  type ImageFilter,
  imageCropPlans,
  imageForm,
  type PixelWindow,
} from '../../../../core/pdf/images/image-crop.ts';
import { isToolPresent, runTool } from '../../../support/tools.ts';
import { inPieces, KeptBytes, nodeFlate } from './flate-node.ts';
import { jpegCanonical, jpegCroppedByOracle } from './jpeg-tools.ts';
import { pdfEntries, pdfMade } from './pdf-made.ts';

/** An optional folder of PDFs: their images are cropped and compared. */
const FOLDER = process.env.PANELWRIGHT_CORPUS;
const isReady =
  FOLDER !== undefined && existsSync(FOLDER) && isToolPresent('mutool') && isToolPresent('jpegtran');

describe.skipIf(!isReady)('Images of real files [needs PANELWRIGHT_CORPUS, mutool, jpegtran]', () => {
  it('decode to the cut of what the whole image decodes to', { timeout: 600_000 }, async () => {
    const counts: Record<string, number> = {};
    const wrong: string[] = [];
    const files = readdirSync(FOLDER!, { recursive: true, encoding: 'utf8' }).filter((name) =>
      /\.pdf$/i.test(name),
    );
    for (const file of files) {
      for (const image of await imagesOf(join(FOLDER!, file))) {
        const verdict = await imageVerdict(image);
        counts[verdict] = (counts[verdict] ?? 0) + 1;
        if (verdict.startsWith('WRONG')) wrong.push(`${file}: ${verdict}`);
      }
    }
    console.log(counts);
    expect(wrong).toEqual([]);
    expect(Object.keys(counts).length).toBeGreaterThan(0);
  });
});

interface FoundImage {
  readonly description: ImageDescription;
  readonly data: Uint8Array;
}

async function imagesOf(file: string): Promise<FoundImage[]> {
  let document: PDFDocument;
  try {
    document = await PDFDocument.load(readFileSync(file), { updateMetadata: false });
  } catch {
    // Damaged and locked files are the business of other tests.
    return [];
  }
  return document.context.enumerateIndirectObjects().flatMap(([, object]) => {
    if (!(object instanceof PDFRawStream) || object.dict.get(PDFName.of('Subtype')) !== PDFName.of('Image'))
      return [];
    const description = describedImage(object.dict);
    return description ? [{ description, data: object.contents }] : [];
  });
}

function describedImage(dict: PDFDict): ImageDescription | undefined {
  const get = (key: string): PDFObject | undefined => dict.lookup(PDFName.of(key));
  const number = (key: string): number | undefined => {
    const value = get(key);
    return value instanceof PDFNumber ? value.asNumber() : undefined;
  };
  const list = (key: string): (PDFObject | undefined)[] => {
    const value = get(key);
    if (value instanceof PDFArray) return Array.from({ length: value.size() }, (_, i) => value.lookup(i));
    return value === undefined ? [] : [value];
  };
  const parms = list('DecodeParms');
  const filters = list('Filter').map(
    (name, i): ImageFilter => ({
      name: name instanceof PDFName ? name.decodeText() : '',
      parms: plainParms(parms[i]),
    }),
  );
  const isMask = get('ImageMask') === PDFBool.True;
  const components = isMask ? 1 : spaceComponents(get('ColorSpace'));
  const [width, height] = [number('Width'), number('Height')];
  if (!width || !height || !components) return undefined;
  return {
    width,
    height,
    components,
    bitsPerComponent: isMask ? 1 : (number('BitsPerComponent') ?? 8),
    filters,
  };
}

function plainParms(object: PDFObject | undefined): ImageFilter['parms'] {
  const parms: Record<string, number | boolean> = {};
  if (!(object instanceof PDFDict)) return parms;
  for (const key of object.keys()) {
    const value = object.lookup(key);
    if (value instanceof PDFNumber) parms[key.decodeText()] = value.asNumber();
    if (value instanceof PDFBool) parms[key.decodeText()] = value.asBoolean();
  }
  return parms;
}

function spaceComponents(space: PDFObject | undefined): number | undefined {
  const sizes: Record<string, number> = {
    DeviceGray: 1,
    DeviceRGB: 3,
    DeviceCMYK: 4,
    CalGray: 1,
    CalRGB: 3,
    Lab: 3,
    Indexed: 1,
    Separation: 1,
  };
  if (space instanceof PDFName) return sizes[space.decodeText()];
  if (!(space instanceof PDFArray)) return undefined;
  const family = space.lookup(0);
  const second = space.lookup(1);
  if (!(family instanceof PDFName)) return undefined;
  if (family.decodeText() === 'ICCBased' && second instanceof PDFRawStream) {
    const count = second.dict.lookup(PDFName.of('N'));
    return count instanceof PDFNumber ? count.asNumber() : undefined;
  }
  if (family.decodeText() === 'DeviceN' && second instanceof PDFArray) return second.size();
  return sizes[family.decodeText()];
}

/** An uneven part of the middle. */
const middle = ({ width, height }: ImageDescription): PixelWindow => {
  const [x, y] = [Math.floor(width * 0.37), Math.floor(height * 0.41)];
  return { x, y, width: Math.ceil(width * 0.29), height: Math.ceil(height * 0.33) };
};

async function imageVerdict({ description, data }: FoundImage): Promise<string> {
  const form = await imageForm(description, inPieces(data, 5000), nodeFlate);
  if (!form.ok) return `whole: ${form.problem.code}`;
  const [plan] = imageCropPlans([form.value], [middle(description)]);
  if (plan!.isWhole) return 'whole: small';
  const [crop] = plan!.crops;
  const sink = new KeptBytes();
  const outcome = await cropImage(form.value, [crop!], inPieces(data, 5000), nodeFlate, [sink]);
  if (!outcome.ok) return `whole: ${outcome.problem.code}`;
  const names = description.filters.map(({ name }) => name).join(' ') || 'plain';
  if (form.value.kind === 'jpeg') {
    if (form.value.outer.length > 0) return `${names} not compared`;
    const isSame = Buffer.from(jpegCanonical(sink.bytes)).equals(jpegCroppedByOracle(data, crop!));
    return `${isSame ? 'same' : 'WRONG'}: ${names} ${form.value.frame.coding}`;
  }
  const whole = decodedByMupdf(description, description.filters, data);
  const { Width, Height, Filter, DecodeParms } = cropEntries(form.value, crop!);
  const cut = decodedByMupdf(
    { ...description, width: Width, height: Height },
    [{ name: Filter, parms: DecodeParms ?? {} }],
    sink.bytes,
  );
  const wholeCrop = { x: 0, y: 0, width: Width, height: Height };
  // Cutting all of the crop out of itself clears the bits that fill up its rows.
  const isSame = samplesCutFrom(cut, { ...description, width: Width }, wholeCrop).equals(
    samplesCutFrom(whole, description, crop!),
  );
  return `${isSame ? 'same' : 'WRONG'}: ${names} ${description.components} × ${description.bitsPerComponent} bits`;
}

function decodedByMupdf(
  image: ImageDescription,
  filters: readonly ImageFilter[],
  data: Uint8Array,
): Uint8Array {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-corpus-'));
  try {
    const names = filters.map(({ name }) => `/${name}`).join(' ');
    const parms = filters.map((filter) => `<< ${pdfEntries(filter.parms)} >>`).join(' ');
    const entries = `/Width ${image.width} /Height ${image.height} /Filter [${names}] /DecodeParms [${parms}]`;
    const file = join(folder, 'image.pdf');
    writeFileSync(file, pdfMade(10, 10, '', { entries, data }));
    return new Uint8Array(runTool('mutool', ['show', '-b', file, '5']));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Bit by bit. */
function samplesCutFrom(whole: Uint8Array, image: ImageDescription, crop: PixelWindow): Buffer {
  const pixelBits = image.components * image.bitsPerComponent;
  const stride = Math.ceil((image.width * pixelBits) / 8);
  const outStride = Math.ceil((crop.width * pixelBits) / 8);
  const out = Buffer.alloc(outStride * crop.height);
  for (let y = 0; y < crop.height; y++) {
    for (let bit = 0; bit < crop.width * pixelBits; bit++) {
      const from = crop.x * pixelBits + bit;
      const value = (whole[(crop.y + y) * stride + (from >> 3)]! >> (7 - (from & 7))) & 1;
      out[y * outStride + (bit >> 3)]! |= value << (7 - (bit & 7));
    }
  }
  return out;
}
