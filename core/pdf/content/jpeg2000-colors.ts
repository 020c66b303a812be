import type { PDFStream } from 'pdf-lib';
import { streamFilters } from '../file/filters.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import { isPdfProblem } from '../file/pdf-problem.ts';
import { type Jpeg2000Space, jpeg2000Space } from '../images/jpeg2000-space.ts';
import { type ColorSpace, DEVICE_CMYK, DEVICE_GRAY, DEVICE_RGB, LAB } from './color-space.ts';

/** The boxes before the color box are short: a few dozen bytes. */
const START_BYTES = 1 << 16;

const SPACES: Readonly<Record<Jpeg2000Space, ColorSpace>> = {
  gray: DEVICE_GRAY,
  rgb: DEVICE_RGB,
  cmyk: DEVICE_CMYK,
  lab: LAB,
};

/** The space that the data of a JPEG 2000 picture state; undefined for other pictures, or where the data state none. */
export async function jpeg2000Colors(
  stream: PDFStream,
  objects: PdfObjects,
): Promise<ColorSpace | undefined> {
  const filters = await streamFilters(stream.dict, (object) => objects.resolved(object));
  if (filters.at(-1)?.name !== 'JPXDecode') return undefined;
  try {
    const start =
      filters.length === 1
        ? await firstOf(objects.streamChunks(stream, START_BYTES))
        : (await objects.streamDecoded(stream)).bytes;
    const space = start && jpeg2000Space(start);
    return space && SPACES[space];
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

async function firstOf(chunks: AsyncGenerator<Uint8Array>): Promise<Uint8Array | undefined> {
  for await (const chunk of chunks) return chunk;
  return undefined;
}
