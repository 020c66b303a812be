/** Messages between the verification and its drawing process. */
import type { THREAD_END } from '../files/thread-end.ts';

/**
 * Two programs that share no code. The first draws everything; the second draws panels in doubt and some of the rest.
 */
export type Renderer = 'pdfium' | 'pdfjs';

/** Pixels per pt, and the position of the page's top left corner, as shown, in the picture: x' = scale·x + x0. */
export interface PagePlacement {
  readonly scale: number;
  readonly x0: number;
  readonly y0: number;
}

export interface PixelSize {
  readonly width: number;
  readonly height: number;
}

export interface DrawRequest {
  readonly renderer: Renderer;
  readonly path: string;
  readonly password?: string;
  /** A panel is drawn from a copy if its artwork is, so that both are equally sharp; the artwork is drawn first. */
  readonly isPanel: boolean;
  readonly artworkBytes: number;
  /** Numbered from 1. */
  readonly page: number;
  readonly placement: PagePlacement;
  readonly size: PixelSize;
  /** Points per unit of the page. */
  readonly userUnit: number;
  /** Pixels along the longer edge of the page, at this scale or at one for which a single copy serves both. */
  readonly longestPx: number;
}

/** Sent after a verification: close all files, and wait for the next one. */
export const FILES_END = 'close files';

export type DrawMessage = ({ readonly id: number } & DrawRequest) | typeof FILES_END | typeof THREAD_END;

export type DrawReply =
  /** Sent every second: CPU seconds that the process has used in all, and its memory. */
  | { readonly cpuSeconds: number; readonly residentBytes: number }
  /** Four bytes per pixel: red, green, blue, alpha. */
  | { readonly id: number; readonly rgba: Uint8Array }
  /** Why there is no picture. */
  | { readonly id: number; readonly trouble: string };

/** A process sends a picture as a file: a pipe would split it and copy it several times. */
export type DrawChildReply =
  | Exclude<DrawReply, { readonly rgba: Uint8Array }>
  | { readonly id: number; readonly rgbaPath: string };
