/** Runs PDFium on a separate thread; see picture-maker.ts for the other end. */
import { parentPort, workerData } from 'node:worker_threads';
import { present } from '../../core/measure/present.ts';
import { THREAD_END } from '../files/thread-end.ts';
import { type DocumentOfPage, DrawnDocuments, loadReducedCopies } from './drawn-documents.ts';
import {
  type LightPicture,
  type PageArea,
  type Picture,
  pdfiumHeapBytes,
  type SummedColors,
  startPdfium,
} from './pdfium.ts';
import {
  FILE_END,
  type PictureFile,
  type PictureMessage,
  type PictureReply,
  type PictureRequest,
  type PictureThreadData,
  THREAD_STATE,
} from './picture-message.ts';

const port = present(parentPort, 'The thread that started this one');
let documents: DrawnDocuments | undefined;
/**
 * Copies of a file that was drawn before, kept because a file that was drawn for the checks is drawn again for the
 * sheets.
 */
let resting: DrawnDocuments | undefined;
/** The other end waits for one picture before it requests the next. */
let drawing: Promise<void> | undefined;
const { isAhead, state } = workerData as PictureThreadData;
const started = Promise.all([startPdfium(), isAhead ? loadReducedCopies() : undefined]);

port.on('message', (message: PictureMessage) => {
  if (message === THREAD_END) void leave();
  else if (message === FILE_END) endFile();
  else if ('path' in message) documents = documentsOf(message);
  else drawing = draw(message, present(documents, 'The file that is drawn'));
});

function documentsOf(file: PictureFile): DrawnDocuments {
  if (file.isOther) void documents?.close();
  else if (documents) documents.useFileAt(file.path);
  else if (resting?.isOf(file)) return takeResting();
  return (!file.isOther && documents) || new DrawnDocuments(file);
}

function takeResting(): DrawnDocuments {
  const taken = present(resting, 'The file that was put aside');
  resting = undefined;
  return taken;
}

function endFile(): void {
  if (documents?.isOfCopies) {
    void resting?.close();
    resting = documents;
  } else void documents?.close();
  documents = undefined;
}

async function draw(request: PictureRequest, documents: DrawnDocuments): Promise<void> {
  const { window, widthPx, light } = request;
  const found = await documents.forPicture(request);
  const { hearing, inPdfium } = THREAD_STATE;
  if (Atomics.compareExchange(state, 0, hearing, inPdfium) !== hearing) return;
  const picture = found && pictureOf(found, window, widthPx, light);
  Atomics.compareExchange(state, 0, inPdfium, hearing);
  const heapBytes = await pdfiumHeapBytes();
  const reply: PictureReply = { id: request.id, heapBytes, ...(picture && { picture }) };
  const bytes = picture && ('rgba' in picture ? picture.rgba : picture.light);
  port.postMessage(reply, bytes ? [bytes.buffer as ArrayBuffer] : []);
}

function pictureOf(
  { document, page }: DocumentOfPage,
  window: PageArea | undefined,
  widthPx: number,
  light: SummedColors | undefined,
): Picture | LightPicture | undefined {
  if (!window) return document.wholePage(page, widthPx);
  return light ? document.light(page, window, widthPx, light) : document.picture(page, window, widthPx);
}

/** Ends only this thread, once none of its work is in native code. */
async function leave(): Promise<void> {
  await started;
  await Promise.all([documents?.settle(), resting?.settle()]);
  await drawing?.catch(() => undefined);
  process.exit();
}
