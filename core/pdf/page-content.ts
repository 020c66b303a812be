import { PDFArray, PDFName, PDFRawStream } from 'pdf-lib';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import { type ArtworkProblem, artworkProblem, EXPORT_AGAIN } from './artwork-problem.ts';
import { asciiBytes, bytesJoined } from './byte-search.ts';
import { contentBalanced } from './content-balance.ts';
import type { SourcePage } from './page-tree.ts';
import { streamData } from './stream-data.ts';

/** What a page paints, as one balanced stream. */
export interface PageContent {
  /** Decoded content. */
  readonly bytes: Uint8Array;
  /** The source's own stream where it can be kept as it is, compressed bytes and all. */
  readonly stream: PDFRawStream | undefined;
  /** Whether saves and restores did not pair. */
  readonly isUnbalanced: boolean;
}

const LINE_FEED = asciiBytes('\n');

/**
 * The content of a page; a page without Contents is blank. The streams of an array may split between any two
 * tokens, so they are joined with white space (ISO 32000-1, 7.8.2).
 */
export function pageContent(page: SourcePage, number: number): Result<PageContent, ArtworkProblem> {
  const contents = page.dict.lookup(PDFName.Contents);
  const parts =
    contents instanceof PDFArray
      ? Array.from({ length: contents.size() }, (_, index) => contents.lookup(index))
      : [contents];
  const streams = parts.filter((part) => part instanceof PDFRawStream);
  let decoded: Uint8Array[];
  try {
    decoded = streams.map(streamData);
  } catch {
    return resultProblem(
      artworkProblem(
        'pdf-stream-damaged',
        `The drawing on page ${number} cannot be read: its data are damaged or packed in an unknown way.`,
        EXPORT_AGAIN,
      ),
    );
  }
  const joined = decoded.length === 1 ? decoded[0]! : bytesJoined(decoded, LINE_FEED);
  const balanced = contentBalanced(joined);
  return resultOk({
    bytes: balanced.bytes,
    stream: streams.length === 1 && !balanced.isChanged ? streams[0] : undefined,
    isUnbalanced: balanced.isChanged,
  });
}
