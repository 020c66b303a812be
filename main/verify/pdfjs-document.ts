/**
 * Pages drawn by pdf.js, which shares no code with the renderer of the previews, so what both draw alike is unlikely to
 * be a bug of one of them.
 */
import { readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { createCanvas } from '@napi-rs/canvas';
import type { PDFDocumentProxy } from 'pdfjs-dist';
import type { PagePlacement, PixelSize } from './draw-message.ts';
import { PDFJS_PACKAGE } from './pdfjs-package.ts';

const packageFolder = (name: string): string => `${join(dirname(PDFJS_PACKAGE), name)}/`;

/**
 * pdf.js rounds upright images to whole pixels, which would hide an offset. Turned by an angle so small that no pixel
 * moves, they are drawn at their exact place.
 */
const UNSEEN_TURN = 1e-9;
const ANNOTATIONS_OFF = 0;
const ERRORS_ONLY = 0;

export class PdfjsDocument {
  readonly #document: PDFDocumentProxy;

  private constructor(document: PDFDocumentProxy) {
    this.#document = document;
  }

  /** @throws where pdf.js cannot open the file */
  static async open(file: string | Uint8Array, password?: string): Promise<PdfjsDocument> {
    offerProfileReading();
    const { getDocument } = await import('pdfjs-dist/legacy/build/pdf.mjs');
    const task = getDocument({
      data: typeof file === 'string' ? new Uint8Array(await readFile(file)) : file,
      ...(password !== undefined && { password }),
      cMapUrl: packageFolder('cmaps'),
      standardFontDataUrl: packageFolder('standard_fonts'),
      wasmUrl: packageFolder('wasm'),
      iccUrl: packageFolder('iccs'),
      useSystemFonts: false,
      disableFontFace: true,
      verbosity: ERRORS_ONLY,
    });
    return new PdfjsDocument(await task.promise);
  }

  /** Draws part of a page (numbered from 1) on white, with default layers, without annotations. */
  async picture(pageNumber: number, { scale, x0, y0 }: PagePlacement, size: PixelSize): Promise<Uint8Array> {
    const page = await this.#document.getPage(pageNumber);
    const canvas = createCanvas(size.width, size.height);
    const turn = scale * UNSEEN_TURN;
    await page.render({
      canvas,
      viewport: page.getViewport({ scale: 1 }),
      transform: [scale, turn, -turn, scale, x0, y0],
      annotationMode: ANNOTATIONS_OFF,
      background: 'rgb(255,255,255)',
    }).promise;
    const { data } = canvas.getContext('2d').getImageData(0, 0, size.width, size.height);
    // A copy, because the canvas's own memory cannot be moved to another thread.
    return new Uint8Array(data);
  }

  async close(): Promise<void> {
    await this.#document.loadingTask.destroy();
  }
}

/** pdf.js loads its color management module as in a browser, but in Node there is no server for it. */
function offerProfileReading(): void {
  if ('XMLHttpRequest' in globalThis) return;
  Object.assign(globalThis, { XMLHttpRequest: PackageFileRequest });
}

/** The part of XMLHttpRequest that reading one local file synchronously needs. */
class PackageFileRequest {
  response: ArrayBuffer | undefined;
  responseType = '';
  #path = '';

  open(_method: string, path: string): void {
    this.#path = path;
  }

  send(): void {
    const { buffer, byteOffset, byteLength } = readFileSync(this.#path);
    this.response = buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer;
  }
}
