import { PDFArray, PDFName, type PDFObject, PDFStream } from 'pdf-lib';
import { bytesJoined } from '../file/byte-stream.ts';
import type { PdfPage } from '../file/pages.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { problemStreamDamaged } from '../file/pdf-problem.ts';
import { asciiBytes } from '../page/ascii-bytes.ts';
import { BalanceScan } from './balance-scan.ts';
import { contentBalanced } from './content-balance.ts';
import { isStreamCutOff } from './content-checksum.ts';

/** What a page paints, as one balanced stream. */
export interface PageContent {
  /** Decoded content. */
  readonly bytes: Uint8Array;
  /** The source's own stream where it can be kept as it is, compressed bytes and all. */
  readonly stream: PDFStream | undefined;
  /** Whether saves and restores did not pair. */
  readonly isUnbalanced: boolean;
  /** Whether its data end too early, by their checksum. */
  readonly isCutOff: boolean;
}

/** Facts about a page's content that do not require holding it. */
export interface ContentFacts {
  /** Whether saves and restores of the graphics state did not pair; this is repaired. */
  readonly isUnbalanced: boolean;
  /** Whether data are missing at the end, so that what they painted is lost. */
  readonly isCutOff: boolean;
  readonly isBlank: boolean;
}

/** What a page paints; it can be read any number of times. */
export interface PageDrawing {
  /** Decoded and balanced; each piece has its own memory. */
  pieces(): AsyncIterable<Uint8Array>;
  /** The source's own stream, where it can be kept unchanged. */
  readonly stream: PDFStream | undefined;
}

/** Empty content, deflated and wrapped once more, is no longer than this. */
const EMPTY_PACKED_BYTES = 24;
const LINE_FEED = asciiBytes('\n');

/**
 * The content of a page; a page without Contents is blank. The streams of an array may split between any two tokens, so
 * they are joined with white space (ISO 32000-1, 7.8.2). @throws PdfProblem where the content cannot be unpacked.
 */
export async function pageContent(
  file: PdfFile,
  page: PdfPage,
  pause?: () => Promise<void>,
): Promise<PageContent> {
  const streams = await contentStreams(file, page);
  const decoded: Uint8Array[] = [];
  let isCutOff = false;
  for (const stream of streams) {
    const { bytes } = await file.streamDecoded(stream);
    if (bytes.length === 0 && (await file.streamBytes(stream)).length > EMPTY_PACKED_BYTES) {
      throw problemStreamDamaged(
        `The drawing on page ${page.index + 1} cannot be read: its data are damaged or packed in an unknown way.`,
      );
    }
    decoded.push(bytes);
    await pause?.();
    isCutOff ||= await isStreamCutOff(file, stream, bytes);
    await pause?.();
  }
  const joined = bytesJoined(decoded, LINE_FEED);
  const { bytes, isChanged } = await contentBalanced(joined, pause);
  // The panel would also appear damaged if it kept data that end too early.
  const stream = streams.length === 1 && !isChanged && !isCutOff ? streams[0] : undefined;
  return { bytes, stream, isUnbalanced: isChanged, isCutOff };
}

/**
 * The content of a page whose `facts` are known. If the facts show nothing unusual, the content is never held whole.
 */
export async function pageDrawing(
  file: PdfFile,
  page: PdfPage,
  facts: ContentFacts,
  pause?: () => Promise<void>,
): Promise<PageDrawing> {
  if (facts.isUnbalanced || facts.isCutOff) {
    const { bytes, stream } = await pageContent(file, page, pause);
    return { pieces: () => onePiece(bytes), stream };
  }
  const streams = await contentStreams(file, page);
  return {
    pieces: () => joinedPieces(file, streams),
    stream: streams.length === 1 ? streams[0] : undefined,
  };
}

async function* joinedPieces(file: PdfFile, streams: readonly PDFStream[]): AsyncGenerator<Uint8Array> {
  for (const [i, stream] of streams.entries()) {
    if (i > 0) yield LINE_FEED;
    yield* decodedPieces(file, stream);
  }
}

/** A stream of operators, in pieces. */
export async function* decodedPieces(file: PdfFile, stream: PDFStream): AsyncGenerator<Uint8Array> {
  const pieces = await file.streamDecodedPieces(stream);
  if (pieces) yield* pieces;
  else yield (await file.streamDecoded(stream)).bytes;
}

async function* onePiece(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}

/**
 * The facts that `pageContent` would give. The content is read in pieces and takes no memory where nothing is unusual.
 */
export async function contentFacts(file: PdfFile, page: PdfPage): Promise<ContentFacts> {
  const scan = new BalanceScan();
  for (const [i, stream] of (await contentStreams(file, page)).entries()) {
    if (i > 0) scan.push(LINE_FEED);
    const before = scan.length;
    const pieces = await file.streamDecodedPieces(stream);
    const isWhole = pieces !== undefined && (await pushedAll(pieces, scan));
    if (!isWhole || scan.length === before) return factsOf(await pageContent(file, page));
  }
  const facts = scan.end();
  return facts === undefined
    ? factsOf(await pageContent(file, page))
    : { ...facts, isCutOff: false, isBlank: scan.length === 0 };
}

const factsOf = ({ bytes, isUnbalanced, isCutOff }: PageContent): ContentFacts => ({
  isUnbalanced,
  isCutOff,
  isBlank: bytes.length === 0,
});

async function pushedAll(pieces: AsyncGenerator<Uint8Array, boolean>, scan: BalanceScan): Promise<boolean> {
  for (;;) {
    const next = await pieces.next();
    if (next.done === true) return next.value;
    scan.push(next.value);
  }
}

async function contentStreams(file: PdfFile, page: PdfPage): Promise<PDFStream[]> {
  const contents = await file.resolved(page.dict.get(PDFName.Contents));
  const items: (PDFObject | undefined)[] = contents instanceof PDFArray ? contents.asArray() : [contents];
  const streams: PDFStream[] = [];
  for (const item of items) {
    const stream = await file.resolved(item);
    if (stream instanceof PDFStream) streams.push(stream);
  }
  return streams;
}
