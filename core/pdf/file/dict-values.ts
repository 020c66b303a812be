/** Plain values from pdf-lib's objects; an object of another type reads as absent. */
import {
  PDFArray,
  PDFBool,
  PDFDict,
  PDFHexString,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFStream,
  PDFString,
} from 'pdf-lib';

export const numberOf = (object: PDFObject | undefined): number | undefined =>
  object instanceof PDFNumber ? object.asNumber() : undefined;

/** A name without its slash, escapes undone. */
export const nameOf = (object: PDFObject | undefined): string | undefined =>
  object instanceof PDFName ? object.decodeText() : undefined;

/** A name for people to read: decoded as UTF-8, as it should be (ISO 32000-1, 7.3.5), or else one letter per byte. */
export function nameText(object: PDFObject | undefined): string | undefined {
  const name = nameOf(object);
  if (name === undefined) return undefined;
  const escaped = Array.from(name, (letter) => `%${letter.charCodeAt(0).toString(16).padStart(2, '0')}`);
  try {
    return decodeURIComponent(escaped.join(''));
  } catch {
    return name;
  }
}

export const boolOf = (object: PDFObject | undefined): boolean | undefined =>
  object instanceof PDFBool ? object.asBoolean() : undefined;

export const bytesOf = (object: PDFObject | undefined): Uint8Array | undefined =>
  object instanceof PDFString || object instanceof PDFHexString ? object.asBytes() : undefined;

export const textOf = (object: PDFObject | undefined): string | undefined =>
  object instanceof PDFString || object instanceof PDFHexString ? object.decodeText() : undefined;

/** The dictionary itself, or that of a stream. */
export function dictOf(object: PDFObject | undefined): PDFDict | undefined {
  if (object instanceof PDFDict) return object;
  return object instanceof PDFStream ? object.dict : undefined;
}

export const arrayOf = (object: PDFObject | undefined): PDFArray | undefined =>
  object instanceof PDFArray ? object : undefined;
