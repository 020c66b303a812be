/** Draws pages by pdf.js on a thread of its own; see render-thread.ts for the other end. */
import { parentPort } from 'node:worker_threads';
import { THREAD_END } from '../files/thread-end.ts';
import { type PagePlacement, PdfjsDocument, type PixelSize } from './pdfjs-document.ts';

export interface RenderRequest {
  readonly id: number;
  readonly path: string;
  readonly password?: string;
  readonly page: number;
  readonly placement: PagePlacement;
  readonly size: PixelSize;
}

export interface RenderReply {
  readonly id: number;
  readonly rgba?: Uint8Array;
  /** Why there is no picture. */
  readonly trouble?: string;
}

/** The last file stays open: the artwork is drawn once for each side. */
let last: { readonly path: string; readonly document: PdfjsDocument } | undefined;

async function openDocumentAt({ path, password }: RenderRequest): Promise<PdfjsDocument> {
  if (last?.path === path) return last.document;
  await last?.document.close();
  last = undefined;
  const document = await PdfjsDocument.open(path, password);
  last = { path, document };
  return document;
}

parentPort!.on('message', async (request: RenderRequest | typeof THREAD_END) => {
  if (request === THREAD_END) {
    await last?.document.close().catch(() => undefined);
    // Ends this thread alone.
    process.exit();
  }
  const reply = (message: Omit<RenderReply, 'id'>, moved: ArrayBuffer[] = []) =>
    parentPort!.postMessage({ id: request.id, ...message } satisfies RenderReply, moved);
  try {
    const document = await openDocumentAt(request);
    const rgba = await document.picture(request.page, request.placement, request.size);
    reply({ rgba }, [rgba.buffer as ArrayBuffer]);
  } catch (error) {
    reply({ trouble: error instanceof Error ? error.message : String(error) });
  }
});
