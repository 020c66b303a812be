/** What is said between the verification and the process that draws for it. */
import type { THREAD_END } from '../files/thread-end.ts';

/** Two programs that share no code. The first draws everything, the second what is doubted and some of the rest. */
export type Renderer = 'pdfium' | 'pdfjs';

/** Pixels per pt and place of the page's top left corner, as shown, in the picture: x' = scale·x + x0. */
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
  /** A panel is drawn from a copy where its artwork is, so that both are as sharp; its artwork is drawn first. */
  readonly isPanel: boolean;
  readonly artworkBytes: number;
  /** Numbered from 1. */
  readonly page: number;
  readonly placement: PagePlacement;
  readonly size: PixelSize;
  /** Points for a unit of the page. */
  readonly userUnit: number;
  /** Pixels along the longer edge of the page, at this scale or at one of which a copy serves both. */
  readonly longestPx: number;
}

/** Sent after a verification: close all files, and wait for the next one. */
export const FILES_END = 'close files';

export type DrawMessage = ({ readonly id: number } & DrawRequest) | typeof FILES_END | typeof THREAD_END;

export type DrawReply =
  /** Every second: CPU seconds that the process has used in all, and the memory that it holds. */
  | { readonly cpuSeconds: number; readonly residentBytes: number }
  /** Four bytes a pixel, red, green, blue, alpha. */
  | { readonly id: number; readonly rgba: Uint8Array }
  /** Why there is no picture. */
  | { readonly id: number; readonly trouble: string };

/** From a process a picture comes in a file: a pipe would take it apart and copy it several times. */
export type DrawChildReply =
  | Exclude<DrawReply, { readonly rgba: Uint8Array }>
  | { readonly id: number; readonly rgbaPath: string };
