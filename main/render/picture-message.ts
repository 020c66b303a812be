/** What is said between a picture maker and its thread. */
import type { THREAD_END } from '../files/thread-end.ts';
import type { LightPicture, PageArea, Picture, SummedColors } from './pdfium.ts';

/**
 * When pictures come from a small copy of the page. `where-needed`: all of a large file, for work in which PDFium would take
 * more memory than a shop’s machine spares. `where-shared`: the same, and those of a smaller file whose pictures are larger than
 * they are drawn: PDFium unpacks them for each drawing, a copy once. `where-quicker`: those that a screen shows first of a file whose pictures it
 * takes seconds to unpack; the file itself is drawn for sharper ones.
 */
export type Reduces = 'where-needed' | 'where-shared' | 'where-quicker';

export interface PictureThreadStart {
  /** Whether the thread should prepare all that an artwork needs, and wait for one. */
  readonly isAhead: boolean;
}

export interface PictureThreadData extends PictureThreadStart {
  /** One of `THREAD_STATE`, for both sides to see at any moment: a message could come too late. */
  readonly state: Int32Array;
}

export const THREAD_STATE = {
  /** It receives messages, now or soon. */
  hearing: 0,
  /** It runs only PDFium, and receives no messages meanwhile. */
  inPdfium: 1,
  /** It is to leave, and to begin no picture any more. */
  leaving: 2,
} as const;

/** The file that this thread is for. */
export interface PictureFile {
  readonly path: string;
  readonly password: string;
  readonly reduces: Reduces;
  /** Whether it takes the place of another file; without, it is the same one, which may have moved. */
  readonly isOther?: boolean;
}

/** Sent to a thread that waits for another file: close the one that it has. */
export const FILE_END = 'close file';

/** The file comes before the first request, and again where it has moved. */
export type PictureMessage = PictureFile | PictureRequest | typeof FILE_END | typeof THREAD_END;

export interface PictureRequest {
  readonly id: number;
  readonly page: number;
  /** Absent: the whole page. */
  readonly window?: PageArea;
  readonly widthPx: number;
  /** Only the sum of these is wanted. */
  readonly light?: SummedColors;
}

/** The picture, or undefined where the page cannot be drawn. */
export interface PictureReply {
  readonly id: number;
  /** Memory that PDFium has taken; it gives none back. */
  readonly heapBytes: number;
  readonly picture?: Picture | LightPicture;
}
