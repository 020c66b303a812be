/** Artwork with one thing changed: a letter, a block of pixels, a color, the state of a layer, an object off the side. */
import { deflateSync } from 'node:zlib';
import {
  PDFArray,
  PDFDict,
  PDFDocument,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
  type PDFRef,
  type PDFStream,
  PDFString,
} from 'pdf-lib';
import { contentPageFrom, pageContents } from '../../core/pdf/content/content-page.ts';
import type { Painted } from '../../core/pdf/content/painted.ts';
import { walkContent } from '../../core/pdf/content/walk.ts';
import type { Artwork } from '../../core/pdf/document/artwork.ts';
import { bytesJoined } from '../../core/pdf/file/byte-stream.ts';
import { boxIntersection, type SourceBox } from '../../core/pdf/page/page-space.ts';
import { sampleRows } from '../../core/verify/structure/sample-rows.ts';
import { decodeJpeg2000 } from '../../main/cut/jpeg2000.ts';
import { pdfCodecs } from '../../main/files/pdf-source.ts';
import { unpackedInPassing } from '../../main/files/unpacked.ts';
import { artworkFromBytes } from './artwork-bytes.ts';

export const CHANGES = ['letter', 'pixels', 'color', 'layer', 'off-side'] as const;
export type ChangeKind = (typeof CHANGES)[number];

export interface ChangedArtwork {
  readonly before: Uint8Array;
  readonly after: Uint8Array;
}

/** Undefined where the page has no such thing; `pick` says which of several. `offSide` is in user space, outside of the side. */
export async function changedArtwork(
  bytes: Uint8Array,
  page: number,
  kind: ChangeKind,
  pick: number,
  offSide: SourceBox,
): Promise<ChangedArtwork | undefined> {
  const opened = await artworkFromBytes(bytes, { codecs: pdfCodecs });
  if (!opened.ok || opened.value.file.isRepaired) return undefined;
  const artwork = opened.value;
  switch (kind) {
    case 'letter':
      return await withLetter(bytes, artwork, page, pick);
    case 'pixels':
      return await withPixels(bytes, artwork, page, pick);
    case 'color':
      return await withColor(bytes, artwork, page, pick);
    case 'layer':
      return await withLayer(bytes, artwork, page, pick);
    case 'off-side':
      return await withObject(bytes, artwork, page, offSide);
  }
}

interface Seen {
  readonly start: number;
  readonly end: number;
  readonly codes: readonly number[];
  readonly font: unknown;
  readonly colorStart: number | undefined;
  readonly ref: PDFRef | undefined;
  readonly stream: PDFStream | undefined;
  readonly isSelfContained: boolean;
  readonly kind: Painted['kind'];
}

/** The objects that certainly show on the page, judged by boxes. */
async function seenOn({ file, pages }: Artwork, page: number): Promise<{ seen: Seen[]; content: Buffer }> {
  const source = pages[page - 1]!.page;
  const parts: Uint8Array[] = [];
  for await (const part of pageContents(file, source)) parts.push(part);
  const content = await contentPageFrom(file, source);
  const seen: Seen[] = [];
  await walkContent(content, {
    wantsGlyphs: true,
    onPainted(painted) {
      const { bounds, clip, isVisible, level, state, text, image, object, ref, isFilled } = painted;
      const shown = boxIntersection(bounds, clip);
      if (!isVisible || !shown || !boxIntersection(shown, content.box) || level.isByProxy) return;
      if (level.kind !== 'page' && !image) return;
      const { setter } = state.fill;
      seen.push({
        start: painted.start,
        end: painted.end,
        codes: text?.glyphs.map(({ code }) => code) ?? [],
        font: text?.font,
        colorStart: isFilled && setter?.level.kind === 'page' ? setter.start : undefined,
        ref,
        stream: image ? object : undefined,
        isSelfContained: painted.isSelfContained && level.kind === 'page',
        kind: painted.kind,
      });
    },
  });
  return { seen, content: Buffer.from(bytesJoined(parts)) };
}

const picked = <T>(items: readonly T[], pick: number): T | undefined =>
  items.length === 0 ? undefined : items[(pick * 7919) % items.length];

async function saved(document: PDFDocument): Promise<Uint8Array> {
  return await document.save({
    useObjectStreams: false,
    addDefaultPage: false,
    updateFieldAppearances: false,
  });
}

const loaded = (bytes: Uint8Array): Promise<PDFDocument> =>
  PDFDocument.load(bytes, { updateMetadata: false });

async function withContent(bytes: Uint8Array, page: number, content: Uint8Array): Promise<Uint8Array> {
  const document = await loaded(bytes);
  const { context } = document;
  const ref = context.register(context.flateStream(content));
  document.getPage(page - 1).node.set(PDFName.of('Contents'), ref);
  return await saved(document);
}

async function withLetter(
  bytes: Uint8Array,
  artwork: Artwork,
  page: number,
  pick: number,
): Promise<ChangedArtwork | undefined> {
  const { seen, content } = await seenOn(artwork, page);
  const texts = seen.filter(({ kind, codes }) => kind === 'text' && codes.length > 1);
  const text = picked(texts, pick);
  if (!text) return undefined;
  const codes = [...new Set(texts.flatMap(({ font, codes: used }) => (font === text.font ? used : [])))];
  const at = pick % text.codes.length;
  const other = codes.find((code, i) => code !== text.codes[at] && i >= pick % codes.length) ?? codes[0]!;
  if (other === text.codes[at]) return undefined;
  const changed = withCode(content.subarray(text.start, text.end), at, other, text.codes.length);
  if (!changed) return undefined;
  const after = Buffer.concat([content.subarray(0, text.start), changed, content.subarray(text.end)]);
  return { before: bytes, after: await withContent(bytes, page, after) };
}

/** The operators that show text, with another code in the place of one. */
function withCode(operators: Buffer, at: number, code: number, count: number): Buffer | undefined {
  const strings = stringsIn(operators);
  const total = strings.reduce((sum, { data }) => sum + data.length, 0);
  const width = total / count;
  if (width !== 1 && width !== 2) return undefined;
  let before = 0;
  for (const { start, end, data } of strings) {
    const first = at * width - before;
    before += data.length;
    if (first >= data.length) continue;
    const changed = Buffer.from(data);
    if (width === 1) changed[first] = code;
    else changed.writeUInt16BE(code, first);
    return Buffer.concat([
      operators.subarray(0, start),
      Buffer.from(`<${changed.toString('hex')}>`),
      operators.subarray(end),
    ]);
  }
  return undefined;
}

interface StringAt {
  readonly start: number;
  readonly end: number;
  readonly data: Buffer;
}

function stringsIn(operators: Buffer): StringAt[] {
  const found: StringAt[] = [];
  for (let at = 0; at < operators.length; at++) {
    if (operators[at] === 0x3c) {
      const end = operators.indexOf(0x3e, at) + 1;
      const digits = operators.toString('latin1', at + 1, end - 1).replaceAll(/\s/g, '');
      found.push({
        start: at,
        end,
        data: Buffer.from(digits.padEnd(digits.length + (digits.length % 2), '0'), 'hex'),
      });
      at = end - 1;
    } else if (operators[at] === 0x28) {
      const end = literalEnd(operators, at);
      const text = PDFString.of(operators.toString('latin1', at + 1, end - 1));
      found.push({ start: at, end, data: Buffer.from(text.asBytes()) });
      at = end - 1;
    }
  }
  return found;
}

function literalEnd(bytes: Buffer, from: number): number {
  let depth = 0;
  for (let at = from; at < bytes.length; at++) {
    if (bytes[at] === 0x5c) at++;
    else if (bytes[at] === 0x28) depth++;
    else if (bytes[at] === 0x29 && --depth === 0) return at + 1;
  }
  return bytes.length;
}

/** Samples along an edge of the block. */
const BLOCK = 24;

async function withPixels(
  bytes: Uint8Array,
  artwork: Artwork,
  page: number,
  pick: number,
): Promise<ChangedArtwork | undefined> {
  const { seen } = await seenOn(artwork, page);
  const image = picked(
    seen.filter(({ ref, stream }) => ref && stream && numberIn(stream.dict, 'BitsPerComponent') === 8),
    pick,
  );
  if (!image?.ref || !image.stream) return undefined;
  const codecs = { inflate: unpackedInPassing, decodeJpeg2000 };
  const rows = await sampleRows(artwork.file, image.stream, codecs);
  const [width, height] = [numberIn(image.stream.dict, 'Width'), numberIn(image.stream.dict, 'Height')];
  if (rows?.kind !== 'raster' || rows.bitsPerPixel % 8 !== 0 || width < 2 * BLOCK || height < 2 * BLOCK)
    return undefined;
  const unpacked: Buffer[] = [];
  for await (const row of rows.rows()) unpacked.push(Buffer.from(row));
  if (unpacked.length !== height) return undefined;
  const [x, y] = [(pick * 131) % (width - BLOCK), (pick * 197) % (height - BLOCK)];
  const pixel = rows.bitsPerPixel / 8;
  for (const row of unpacked.slice(y, y + BLOCK))
    for (let i = x * pixel; i < (x + BLOCK) * pixel; i++)
      row[i] = row[i]! < 128 ? row[i]! + 96 : row[i]! - 96;
  const document = await loaded(bytes);
  const found = document.context.lookup(image.ref);
  if (!(found instanceof PDFRawStream)) return undefined;
  const dict = found.dict.clone(document.context);
  dict.delete(PDFName.of('DecodeParms'));
  dict.set(PDFName.of('Filter'), PDFName.of('FlateDecode'));
  const packed = deflateSync(Buffer.concat(unpacked));
  dict.set(PDFName.of('Length'), PDFNumber.of(packed.length));
  document.context.assign(image.ref, PDFRawStream.of(dict, packed));
  return { before: bytes, after: await saved(document) };
}

const numberIn = (dict: PDFDict, key: string): number => {
  const value = dict.get(PDFName.of(key));
  return value instanceof PDFNumber ? value.asNumber() : 0;
};

async function withColor(
  bytes: Uint8Array,
  artwork: Artwork,
  page: number,
  pick: number,
): Promise<ChangedArtwork | undefined> {
  const { seen, content } = await seenOn(artwork, page);
  const colored = picked(
    seen.filter(({ kind, colorStart }) => (kind === 'path' || kind === 'text') && colorStart !== undefined),
    pick,
  );
  if (colored?.colorStart === undefined) return undefined;
  const head = content.toString('latin1', colored.colorStart, colored.colorStart + 200);
  const operands = /^\s*([-+.\d]+)([-+.\d\s]*(?:rg|k|g|scn|sc)\b)/.exec(head);
  if (!operands) return undefined;
  const value = Number(operands[1]);
  const text = `${(value < 0.5 ? value + 0.25 : value - 0.25).toFixed(3)} ${operands[2]!.trimStart()}`;
  const end = colored.colorStart + operands[0].length;
  const after = Buffer.concat([
    content.subarray(0, colored.colorStart),
    Buffer.from(` ${text}`),
    content.subarray(end),
  ]);
  return { before: bytes, after: await withContent(bytes, page, after) };
}

/** An object is put on a layer, which is on before and off after. */
async function withLayer(
  bytes: Uint8Array,
  artwork: Artwork,
  page: number,
  pick: number,
): Promise<ChangedArtwork | undefined> {
  const { seen, content } = await seenOn(artwork, page);
  const object = picked(
    seen.filter(({ isSelfContained, kind }) => isSelfContained && kind !== 'form'),
    pick,
  );
  if (!object) return undefined;
  const layered = Buffer.concat([
    content.subarray(0, object.start),
    Buffer.from('\n/OC /OfferLayer BDC\n'),
    content.subarray(object.start, object.end),
    Buffer.from('\nEMC\n'),
    content.subarray(object.end),
  ]);
  const of = async (isOn: boolean) => {
    const document = await loaded(await withContent(bytes, page, layered));
    const { context, catalog } = document;
    const group = context.register(context.obj({ Type: 'OCG', Name: PDFString.of('Offer') }));
    const { node } = document.getPage(page - 1);
    const resources = (node.Resources() ?? context.obj({})).clone(context) as PDFDict;
    const properties =
      resources.lookupMaybe(PDFName.of('Properties'), PDFDict)?.clone(context) ?? context.obj({});
    (properties as PDFDict).set(PDFName.of('OfferLayer'), group);
    resources.set(PDFName.of('Properties'), properties);
    node.set(PDFName.of('Resources'), resources);
    const known = catalog.lookupMaybe(PDFName.of('OCProperties'), PDFDict);
    const listed = (dict: PDFDict | undefined, key: string): PDFObject[] =>
      dict?.lookupMaybe(PDFName.of(key), PDFArray)?.asArray() ?? [];
    const state = known?.lookupMaybe(PDFName.of('D'), PDFDict);
    catalog.set(
      PDFName.of('OCProperties'),
      context.obj({
        OCGs: [...listed(known, 'OCGs'), group],
        D: {
          ON: [...listed(state, 'ON'), ...(isOn ? [group] : [])],
          OFF: [...listed(state, 'OFF'), ...(isOn ? [] : [group])],
        },
      }),
    );
    return await saved(document);
  };
  return { before: await of(true), after: await of(false) };
}

async function withObject(
  bytes: Uint8Array,
  artwork: Artwork,
  page: number,
  { x0, y0, x1, y1 }: SourceBox,
): Promise<ChangedArtwork> {
  const { content } = await seenOn(artwork, page);
  const text = `\nQ\nq 0.8 0.1 0.2 rg ${x0} ${y0} ${x1 - x0} ${y1 - y0} re f Q\n`;
  const after = Buffer.concat([Buffer.from('q\n'), content, Buffer.from(text)]);
  const before = Buffer.concat([Buffer.from('q\n'), content, Buffer.from('\nQ\n')]);
  return { before: await withContent(bytes, page, before), after: await withContent(bytes, page, after) };
}
