/** A page drawn from a reduced copy beside the same page drawn from the file. */

import { MM_PER_INCH } from '../../core/measure/units.ts';
import { type Artwork, artworkPage } from '../../core/pdf/document/artwork.ts';
import { MemoryOutput } from '../../core/pdf/write/memory-output.ts';
import { type ReducedPageRequest, writeReducedPage } from '../../core/preview/reduced-page.ts';
import { flateCodec } from '../../main/cut/flate.ts';
import { pdfCodecs } from '../../main/files/pdf-source.ts';
import { artworkFromBytes } from './artwork-bytes.ts';
import { resultValue } from './panel-check.ts';
import { pdfiumPicture } from './pdfium.ts';
import type { Picture } from './picture.ts';

/** Any reduction that can be made is made. */
export const REQUEST: ReducedPageRequest = {
  page: 1,
  longestPx: 100,
  pixelsKept: 2,
  leastPixels: 256,
  leavesSlow: false,
  keepsDamaged: false,
  maxBytes: 1e9,
  maxContentBytes: 1e9,
};

export const artworkOf = async (pdf: Uint8Array, password?: string): Promise<Artwork> =>
  resultValue(await artworkFromBytes(pdf, { codecs: pdfCodecs, password }));

type Request = Partial<ReducedPageRequest> & { readonly password?: string };

export async function tryReduced(pdf: Uint8Array, { password, ...request }: Request = {}) {
  const output = new MemoryOutput();
  const tools = { flate: flateCodec() };
  const written = await writeReducedPage(
    await artworkOf(pdf, password),
    { ...REQUEST, ...request },
    output,
    tools,
  );
  return { written, bytes: output.bytes() };
}

export async function reducedCopy(pdf: Uint8Array, request: Request = {}): Promise<Uint8Array> {
  const { written, bytes } = await tryReduced(pdf, request);
  resultValue(written);
  return bytes;
}

export interface Likeness {
  readonly whole: Picture;
  readonly reduced: Picture;
  /** Levels of 8 bits over all channels. */
  readonly mean: number;
  /** Share of the values that are more than 16 levels apart. */
  readonly apart: number;
  readonly copy: Uint8Array;
}

/** Both drawn at the size that the copy is made for. */
export async function likeness(pdf: Uint8Array, request: Request = {}): Promise<Likeness> {
  const { page, longestPx, password = '' } = { ...REQUEST, ...request };
  const { widthMm, heightMm, userUnit } = resultValue(artworkPage(await artworkOf(pdf, password), page));
  const ppi = (longestPx * MM_PER_INCH * userUnit) / Math.max(widthMm, heightMm);
  const copy = await reducedCopy(pdf, request);
  const [whole, reduced] = [
    await pdfiumPicture(pdf, { ppi, page, password }),
    await pdfiumPicture(copy, { ppi }),
  ];
  let [sum, apart] = [0, 0];
  for (const [i, value] of whole.data.entries()) {
    const difference = Math.abs(value - reduced.data[i]!);
    sum += difference;
    if (difference > 16) apart++;
  }
  const values = (whole.data.length / 4) * 3;
  return { whole, reduced, mean: sum / values, apart: apart / values, copy };
}
