import { type PDFObject, PDFStream } from 'pdf-lib';
import type { PdfObjects } from '../file/pdf-objects.ts';
import { CharacterMap } from './character-map.ts';

/** A character map given as a stream; undefined for names and for maps that cannot be read. */
export async function characterMapOf(
  object: PDFObject | undefined,
  objects: PdfObjects,
): Promise<CharacterMap | undefined> {
  const stream = await objects.resolved(object);
  if (!(stream instanceof PDFStream)) return undefined;
  try {
    return CharacterMap.parse((await objects.streamDecoded(stream)).bytes);
  } catch {
    // Without its map the font still sets text; only the text's meaning is unknown.
    return undefined;
  }
}
