import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { init, type WrappedPdfiumModule } from '@embedpdf/pdfium';
import type { Picture } from './picture.ts';

let started: Promise<WrappedPdfiumModule> | undefined;

function pdfium(): Promise<WrappedPdfiumModule> {
  started ??= start();
  return started;
}

async function start(): Promise<WrappedPdfiumModule> {
  const wasm = createRequire(import.meta.url).resolve('@embedpdf/pdfium/pdfium.wasm');
  const file = readFileSync(wasm);
  const wasmBinary = file.buffer.slice(file.byteOffset, file.byteOffset + file.byteLength);
  const module = await init({ wasmBinary });
  module.PDFiumExt_Init();
  return module;
}

export interface RenderOptions {
  /** Counted from 1. */
  readonly page?: number;
  readonly ppi?: number;
  readonly password?: string;
}

const BGRA = 4;
const WHITE = 0xffffffff;

/**
 * Renders a page on white, by PDFium inside this process: layers as they are by default, no annotations.
 *
 * The page is stretched to whole pixels; choose sizes that are whole at `ppi` where that matters. PDFium does not
 * know UserUnit, overprint is not simulated. The bitmap has an alpha channel because an opaque one makes PDFium
 * paint everything beneath each blended object again, but it is filled white first.
 */
export async function pdfiumPicture(pdf: Uint8Array, options: RenderOptions = {}): Promise<Picture> {
  const module = await pdfium();
  const { pdfium: wasm } = module;
  const address = wasm.wasmExports.malloc(pdf.length);
  wasm.HEAPU8.set(pdf, address);
  const document = module.FPDF_LoadMemDocument(address, pdf.length, options.password ?? '');
  try {
    if (!document) throw new Error(`PDFium cannot open the file (error ${module.FPDF_GetLastError()})`);
    const page = module.FPDF_LoadPage(document, (options.page ?? 1) - 1);
    if (!page) throw new Error(`PDFium cannot open page ${options.page ?? 1}`);
    try {
      const perPoint = (options.ppi ?? 72) / 72;
      const width = Math.max(1, Math.round(module.FPDF_GetPageWidthF(page) * perPoint));
      const height = Math.max(1, Math.round(module.FPDF_GetPageHeightF(page) * perPoint));
      return rendered(module, page, width, height);
    } finally {
      module.FPDF_ClosePage(page);
    }
  } finally {
    if (document) module.FPDF_CloseDocument(document);
    wasm.wasmExports.free(address);
  }
}

function rendered(module: WrappedPdfiumModule, page: number, width: number, height: number): Picture {
  const { pdfium: wasm } = module;
  const stride = width * 4;
  const pixels = wasm.wasmExports.malloc(stride * height);
  const bitmap = module.FPDFBitmap_CreateEx(width, height, BGRA, pixels, stride);
  try {
    module.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, WHITE);
    module.FPDF_RenderPageBitmap(bitmap, page, 0, 0, width, height, 0, 0);
    const data = new Uint8Array(stride * height);
    const bgra = wasm.HEAPU8.subarray(pixels, pixels + data.length);
    for (let at = 0; at < data.length; at += 4) {
      data[at] = bgra[at + 2]!;
      data[at + 1] = bgra[at + 1]!;
      data[at + 2] = bgra[at]!;
      data[at + 3] = 255;
    }
    return { width, height, data };
  } finally {
    module.FPDFBitmap_Destroy(bitmap);
    wasm.wasmExports.free(pixels);
  }
}
