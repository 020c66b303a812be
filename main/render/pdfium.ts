/**
 * Pictures of PDF pages for screens and sheets, drawn by PDFium. They are for viewing, not for judging color: overprint
 * is not simulated. All documents share one wasm memory (2 GiB at most), so it runs in a worker.
 */
import { closeSync, fstatSync, openSync, readFileSync, readSync } from 'node:fs';
import { createRequire } from 'node:module';
import { init, type WrappedPdfiumModule } from '@embedpdf/pdfium';

/** A picture with 4 bytes per pixel (red, green, blue, 255), rows from the top. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8Array;
}

/** The brightness of a picture: for each pixel the sum of some of its colors, 0 to 255 each, rows from the top. */
export interface LightPicture {
  readonly width: number;
  readonly height: number;
  readonly light: Uint16Array;
}

/** How many colors are summed: only the first, or all. */
export type SummedColors = 1 | 3;

/** Part of a page in its displayed orientation: points, origin top left of the CropBox, y down. */
export interface PageArea {
  readonly xPt: number;
  readonly yPt: number;
  readonly widthPt: number;
  readonly heightPt: number;
}

const BGRA = 4;
/** FPDF_REVERSE_BYTE_ORDER: red first. Annotations are not artwork, so FPDF_ANNOT stays off. */
const RENDER_FLAGS = 0x10;
const WHITE = 0xffffffff;
const MATRIX_BYTES = 24;
const RECT_BYTES = 16;
const READ_BYTES = 1 << 24;

let modulePromise: Promise<WrappedPdfiumModule> | undefined;

async function pdfium(): Promise<WrappedPdfiumModule> {
  modulePromise ??= (async () => {
    const wasm = createRequire(import.meta.url).resolve('@embedpdf/pdfium/pdfium.wasm');
    const file = readFileSync(wasm);
    const module = await init({
      wasmBinary: file.buffer.slice(file.byteOffset, file.byteOffset + file.byteLength) as ArrayBuffer,
    });
    module.PDFiumExt_Init();
    return module;
  })();
  return await modulePromise;
}

/** Starts PDFium before the first document; resolves when all of its code is compiled. */
export const startPdfium = async (): Promise<void> => void (await pdfium());

/** The size that its memory has grown to. */
export const pdfiumHeapBytes = async (): Promise<number> => (await pdfium()).pdfium.HEAPU8.length;

export class PdfiumDocument {
  readonly #module: WrappedPdfiumModule;
  readonly #bytesAt: number;
  readonly #document: number;
  /** The last page drawn, with its decoded pictures: the next window is often of the same page. */
  #loaded = { number: 0, page: 0 };

  private constructor(module: WrappedPdfiumModule, bytesAt: number, document: number) {
    this.#module = module;
    this.#bytesAt = bytesAt;
    this.#document = document;
  }

  /** `parts` are the file, in order. Undefined where PDFium cannot open it or its memory is too small. */
  static async open(parts: readonly Uint8Array[], password = ''): Promise<PdfiumDocument | undefined> {
    const length = parts.reduce((sum, part) => sum + part.length, 0);
    return PdfiumDocument.#openIn(await pdfium(), length, password, (memory) => {
      let at = 0;
      for (const part of parts) {
        memory.set(part, at);
        at += part.length;
      }
    });
  }

  /** Opens a file on disk, read straight into PDFium's memory. */
  static async openFile(path: string, password = ''): Promise<PdfiumDocument | undefined> {
    const module = await pdfium();
    const file = openSync(path, 'r');
    try {
      const length = fstatSync(file).size;
      return PdfiumDocument.#openIn(module, length, password, (memory) => {
        for (let at = 0, read = 1; at < length && read > 0; at += read) {
          read = readSync(file, memory, at, Math.min(length - at, READ_BYTES), at);
        }
      });
    } finally {
      closeSync(file);
    }
  }

  static #openIn(
    module: WrappedPdfiumModule,
    length: number,
    password: string,
    fill: (memory: Uint8Array) => void,
  ): PdfiumDocument | undefined {
    const at = module.pdfium.wasmExports.malloc(length);
    if (at === 0) return undefined;
    fill(module.pdfium.HEAPU8.subarray(at, at + length));
    const document = module.FPDF_LoadMemDocument(at, length, password);
    if (document !== 0) return new PdfiumDocument(module, at, document);
    module.pdfium.wasmExports.free(at);
    return undefined;
  }

  close(): void {
    this.#unload();
    this.#module.FPDF_CloseDocument(this.#document);
    this.#module.pdfium.wasmExports.free(this.#bytesAt);
  }

  /** Draws a whole page (numbered from 1); undefined where the document has no such page. */
  wholePage(pageNumber: number, widthPx: number): Picture | undefined {
    const page = this.#page(pageNumber);
    if (page === 0) return undefined;
    const widthPt = this.#module.FPDF_GetPageWidthF(page);
    const heightPt = this.#module.FPDF_GetPageHeightF(page);
    return this.picture(pageNumber, { xPt: 0, yPt: 0, widthPt, heightPt }, widthPx);
  }

  /** Draws a window of a page (numbered from 1) `widthPx` wide, on white, without annotations. */
  picture(pageNumber: number, window: PageArea, widthPx: number): Picture | undefined {
    return this.#drawn(pageNumber, window, widthPx, (pixels, width, height) => ({
      width,
      height,
      rgba: pixels.slice(),
    }));
  }

  /** The picture summed on the drawing thread, because sending all of its bytes takes a third of the drawing time. */
  light(
    pageNumber: number,
    window: PageArea,
    widthPx: number,
    colors: SummedColors,
  ): LightPicture | undefined {
    return this.#drawn(pageNumber, window, widthPx, (pixels, width, height) => ({
      width,
      height,
      light: lightOf(pixels, colors),
    }));
  }

  #drawn<T>(
    pageNumber: number,
    window: PageArea,
    widthPx: number,
    taken: (pixels: Uint8Array, width: number, height: number) => T,
  ): T | undefined {
    const m = this.#module;
    const page = this.#page(pageNumber);
    if (page === 0) return undefined;
    const width = Math.max(1, Math.round(widthPx));
    const height = Math.max(1, Math.round((width * window.heightPt) / window.widthPt));
    // An opaque bitmap without alpha makes PDFium redraw everything below each blended object.
    const bitmap = m.FPDFBitmap_CreateEx(width, height, BGRA, 0, 0);
    try {
      if (bitmap === 0) return undefined;
      m.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, WHITE);
      this.#drawArea(page, bitmap, window, width, height);
      return taken(this.#pixels(bitmap, width, height), width, height);
    } finally {
      if (bitmap !== 0) m.FPDFBitmap_Destroy(bitmap);
    }
  }

  /** 0 where the document has no such page. */
  #page(number: number): number {
    if (this.#loaded.number !== number) {
      this.#unload();
      this.#loaded = { number, page: this.#module.FPDF_LoadPage(this.#document, number - 1) };
    }
    return this.#loaded.page;
  }

  #unload(): void {
    if (this.#loaded.page !== 0) this.#module.FPDF_ClosePage(this.#loaded.page);
    this.#loaded = { number: 0, page: 0 };
  }

  #drawArea(page: number, bitmap: number, window: PageArea, width: number, height: number): void {
    const m = this.#module;
    const scaleX = width / window.widthPt;
    const scaleY = height / window.heightPt;
    const at = m.pdfium.wasmExports.malloc(MATRIX_BYTES + RECT_BYTES);
    const floats = new Float32Array(m.pdfium.HEAPU8.buffer, at, (MATRIX_BYTES + RECT_BYTES) / 4);
    floats.set([
      scaleX,
      0,
      0,
      scaleY,
      (-window.xPt * width) / window.widthPt,
      (-window.yPt * height) / window.heightPt,
    ]);
    floats.set([0, 0, width, height], MATRIX_BYTES / 4);
    m.FPDF_RenderPageBitmapWithMatrix(bitmap, page, at, at + MATRIX_BYTES, RENDER_FLAGS);
    m.pdfium.wasmExports.free(at);
  }

  /** The bitmap's bytes in PDFium's memory. Rows of four bytes per pixel have no padding. */
  #pixels(bitmap: number, width: number, height: number): Uint8Array {
    const from = this.#module.FPDFBitmap_GetBuffer(bitmap);
    return this.#module.pdfium.HEAPU8.subarray(from, from + width * height * 4);
  }
}

function lightOf(pixels: Uint8Array, colors: SummedColors): Uint16Array {
  const light = new Uint16Array(pixels.length / 4);
  if (colors === 1) for (let at = 0; at < light.length; at++) light[at] = pixels[4 * at]!;
  else
    for (let at = 0, from = 0; at < light.length; at++, from += 4)
      light[at] = pixels[from]! + pixels[from + 1]! + pixels[from + 2]!;
  return light;
}
