/** Runs PDFium on a thread of its own; see picture-maker.ts for the other end. */
import { readFileSync } from 'node:fs';
import { parentPort, workerData } from 'node:worker_threads';
import { type PageWindow, PdfiumDocument } from './pdfium.ts';

export interface PictureRequest {
  readonly id: number;
  readonly page: number;
  /** Absent: the whole page. */
  readonly window?: PageWindow;
  readonly widthPx: number;
}

export interface PictureReply {
  readonly id: number;
  readonly picture?: { readonly width: number; readonly height: number; readonly rgba: Uint8Array };
}

const { path, password } = workerData as { path: string; password: string };
const document = PdfiumDocument.open(readFileSync(path), password);

parentPort!.on('message', async (request: PictureRequest) => {
  const { page, window, widthPx } = request;
  const opened = await document;
  const picture = window ? opened?.picture(page, window, widthPx) : opened?.wholePage(page, widthPx);
  const reply: PictureReply = { id: request.id, ...(picture && { picture }) };
  parentPort!.postMessage(reply, picture ? [picture.rgba.buffer as ArrayBuffer] : []);
});
