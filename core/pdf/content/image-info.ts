import { type PDFDict, PDFName, type PDFRef, PDFStream } from 'pdf-lib';
import { boolOf, numberOf } from '../file/dict-values.ts';
import { streamFilters } from '../file/filters.ts';
import { ObjectParser } from '../file/object-parser.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import { type ColorSpace, colorSpaceFrom, imageColorSpace } from './color-space.ts';
import { jpeg2000Colors } from './jpeg2000-colors.ts';
import type { OperationReader } from './operation-reader.ts';
import type { ImageInfo } from './painted.ts';

/** Reads an image's dictionary. Short keys are for inline images. */
export async function imageInfoFrom(
  dict: PDFDict,
  stream: PDFStream | undefined,
  ref: PDFRef | undefined,
  objects: PdfObjects,
  named: (name: string) => Promise<ColorSpace | undefined>,
): Promise<ImageInfo> {
  const get = async (long: string, short = long) =>
    (await objects.resolved(dict.get(PDFName.of(long)))) ?? objects.resolved(dict.get(PDFName.of(short)));
  const isStencil = boolOf(await get('ImageMask', 'IM')) ?? false;
  const filters = await streamFilters(dict, (object) => objects.resolved(object));
  const mask = await get('SMask');
  const maskNumber = async (key: string) =>
    mask instanceof PDFStream ? (numberOf(await objects.resolved(mask.dict.get(PDFName.of(key)))) ?? 0) : 0;
  return {
    ref,
    stream,
    width: numberOf(await get('Width', 'W')) ?? 0,
    height: numberOf(await get('Height', 'H')) ?? 0,
    bitsPerComponent: isStencil ? 1 : (numberOf(await get('BitsPerComponent', 'BPC')) ?? 8),
    isStencil,
    space: isStencil
      ? undefined
      : ((await imageSpace(dict, objects, named)) ?? (stream && (await jpeg2000Colors(stream, objects)))),
    filters: filters.map((filter) => filter.name),
    softMask:
      mask instanceof PDFStream
        ? { width: await maskNumber('Width'), height: await maskNumber('Height') }
        : undefined,
  };
}

async function imageSpace(
  dict: PDFDict,
  objects: PdfObjects,
  named: (name: string) => Promise<ColorSpace | undefined>,
): Promise<ColorSpace | undefined> {
  const entry = await objects.resolved(imageColorSpace(dict));
  if (entry === undefined) return undefined;
  const resource = entry instanceof PDFName ? await named(entry.decodeText()) : undefined;
  return resource ?? colorSpaceFrom(entry, objects);
}

/** The entries of the current inline image, as a dictionary. */
export function inlineImageDict(reader: OperationReader, empty: PDFDict): PDFDict {
  for (let i = 0; i + 1 < reader.count; i += 2) {
    const key = reader.name(i);
    const value = new ObjectParser(reader.written(i + 1), empty.context).object();
    if (key !== undefined && value !== undefined) empty.set(PDFName.of(key), value);
  }
  return empty;
}
