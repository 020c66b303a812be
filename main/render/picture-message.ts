/** Messages between a picture maker and its thread. */
import type { THREAD_END } from '../files/thread-end.ts';
import type { LightPicture, PageArea, Picture, SummedColors } from './pdfium.ts';

/**
 * When pictures come from a small copy of the page. `where-needed`: all pictures of a large file, for work in which
 * PDFium would take more memory than a shop’s machine can spare. `where-shared`: the same, and pictures of a smaller
 * file whose images are larger than they are drawn, because PDFium unpacks them for each drawing and a copy only once.
 * `where-quicker`: the first pictures on screen of a file whose images take seconds to unpack; the file itself is drawn
 * for sharper ones.
 */
export type Reduces = 'where-needed' | 'where-shared' | 'where-quicker';

export interface PictureThreadStart {
  /** Whether the thread should prepare for an artwork and then wait for one. */
  readonly isAhead: boolean;
}

export interface PictureThreadData extends PictureThreadStart {
  /** One of `THREAD_STATE`, in memory that both sides can read at any moment: a message could come too late. */
  readonly state: Int32Array;
}

export const THREAD_STATE = {
  /** The thread receives messages, now or soon. */
  hearing: 0,
  /** The thread runs only PDFium, and receives no messages meanwhile. */
  inPdfium: 1,
  /** The thread must exit, and must not start another picture. */
  leaving: 2,
} as const;

/** The file that this thread draws. */
export interface PictureFile {
  readonly path: string;
  readonly password: string;
  readonly reduces: Reduces;
  /** Whether it is another file; otherwise it is the same one, which may have moved. */
  readonly isOther?: boolean;
}

/** Tells a thread that waits for another file to close its current one. */
export const FILE_END = 'close file';

/** The file is sent before the first request, and again when it has moved. */
export type PictureMessage = PictureFile | PictureRequest | typeof FILE_END | typeof THREAD_END;

export interface PictureRequest {
  readonly id: number;
  readonly page: number;
  /** Absent: the whole page. */
  readonly window?: PageArea;
  readonly widthPx: number;
  /** Set to request only the sum of these colors. */
  readonly light?: SummedColors;
}

/** The picture, or undefined where the page cannot be drawn. */
export interface PictureReply {
  readonly id: number;
  /** Memory that PDFium has taken; it frees none. */
  readonly heapBytes: number;
  readonly picture?: Picture | LightPicture;
}
