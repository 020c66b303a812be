import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { init, type WrappedPdfiumModule } from '@embedpdf/pdfium';
import { boxOverlap, isBoxEmpty } from '../../../../core/pdf/content/bounds.ts';
import { type ContentPage, contentPageFrom } from '../../../../core/pdf/content/content-page.ts';
import { KeptContent } from '../../../../core/pdf/content/kept-content.ts';
import type { ContentVisitor, Painted } from '../../../../core/pdf/content/painted.ts';
import type { StreamCut } from '../../../../core/pdf/content/stream-record.ts';
import { walkContent } from '../../../../core/pdf/content/walk.ts';
import { asciiBytes } from '../../../../core/pdf/page/ascii-bytes.ts';
import { boxUnion, type SourceBox } from '../../../../core/pdf/page/page-space.ts';
import type { Picture } from '../../../support/picture.ts';
import { fileFrom, pdfPage } from '../file/file-support.ts';

export async function pageOf(pdf: Uint8Array, index = 0): Promise<ContentPage> {
  const file = await fileFrom(pdf);
  return contentPageFrom(file, await pdfPage(file, index));
}

/** What a walk reports, in short: plain values that outlive the call. */
export interface Seen {
  readonly kind: Painted['kind'];
  readonly within: string;
  /** Bounds within the clip. */
  readonly shown: SourceBox;
  readonly bounds: SourceBox;
  readonly isVisible: boolean;
  readonly fill: string;
  readonly stroke: string;
  readonly range: readonly [number, number];
  readonly isSelfContained: boolean;
  readonly overprint: readonly [fill: boolean, stroke: boolean, mode: number];
  readonly alpha: readonly [fill: number, stroke: number];
  readonly blendMode: string;
  readonly hasSoftMask: boolean;
}

export async function seenOn(page: ContentPage, visitor: ContentVisitor = {}): Promise<Seen[]> {
  const seen: Seen[] = [];
  await walkContent(page, {
    ...visitor,
    onPainted({ kind, level, bounds, clip, state, ...painted }) {
      seen.push({
        kind,
        within: level.kind,
        shown: boxOverlap(bounds, clip),
        bounds,
        isVisible: painted.isVisible,
        fill: painted.isFilled ? state.fill.space.family : '',
        stroke: painted.isStroked ? state.stroke.space.family : '',
        range: [painted.start, painted.end],
        isSelfContained: painted.isSelfContained,
        overprint: [state.isFillOverprint, state.isStrokeOverprint, state.overprintMode],
        alpha: [state.fillAlpha, state.strokeAlpha],
        blendMode: state.blendMode,
        hasSoftMask: state.softMask !== undefined,
      });
    },
  });
  return seen;
}

/** Around everything that shows, page user space; undefined when nothing does. */
export async function inkBox(page: ContentPage): Promise<SourceBox | undefined> {
  const boxes = (await seenOn(page))
    .filter((seen) => seen.isVisible && seen.kind !== 'form' && !isBoxEmpty(seen.shown))
    .map((seen) => seen.shown);
  return boxes.length === 0 ? undefined : boxes.reduce(boxUnion);
}

/** The pixels of a rendering that are not white, as a box in units of its page, y up. */
export function pictureInk(picture: Picture, ppi: number): SourceBox | undefined {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let at = 0; at < picture.data.length; at += 4) {
    if (picture.data[at]! + picture.data[at + 1]! + picture.data[at + 2]! > 3 * 250) continue;
    const x = (at / 4) % picture.width;
    const y = Math.floor(at / 4 / picture.width);
    x0 = Math.min(x0, x);
    x1 = Math.max(x1, x + 1);
    y0 = Math.min(y0, y);
    y1 = Math.max(y1, y + 1);
  }
  const unit = 72 / ppi;
  return x1 < x0
    ? undefined
    : { x0: x0 * unit, y0: (picture.height - y1) * unit, x1: x1 * unit, y1: (picture.height - y0) * unit };
}

/** A character as PDFium finds it on a page: its code point, and the box of its line's height, user space. */
export interface PdfiumChar {
  readonly text: string;
  readonly box: SourceBox;
}

let started: Promise<WrappedPdfiumModule> | undefined;

async function pdfium(): Promise<WrappedPdfiumModule> {
  const wasm = readFileSync(createRequire(import.meta.url).resolve('@embedpdf/pdfium/pdfium.wasm'));
  const module = await init({
    wasmBinary: wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength) as ArrayBuffer,
  });
  module.PDFiumExt_Init();
  return module;
}

/** The characters that PDFium reads on the first page, with their loose boxes (advance by ascent and descent). */
export async function pdfiumChars(pdf: Uint8Array): Promise<PdfiumChar[]> {
  started ??= pdfium();
  const module = await started;
  const { pdfium: wasm } = module;
  const address = wasm.wasmExports.malloc(pdf.length);
  wasm.HEAPU8.set(pdf, address);
  const document = module.FPDF_LoadMemDocument(address, pdf.length, '');
  const page = module.FPDF_LoadPage(document, 0);
  const text = module.FPDFText_LoadPage(page);
  const rect = wasm.wasmExports.malloc(16);
  const chars: PdfiumChar[] = [];
  for (let i = 0; i < module.FPDFText_CountChars(text); i++) {
    if (!module.FPDFText_GetLooseCharBox(text, i, rect)) continue;
    const [left, top, right, bottom] = new Float32Array(wasm.HEAPU8.slice(rect, rect + 16).buffer);
    const code = module.FPDFText_GetUnicode(text, i);
    chars.push({ text: String.fromCodePoint(code), box: { x0: left!, y0: bottom!, x1: right!, y1: top! } });
  }
  module.FPDFText_ClosePage(text);
  module.FPDF_ClosePage(page);
  module.FPDF_CloseDocument(document);
  wasm.wasmExports.free(rect);
  wasm.wasmExports.free(address);
  return chars;
}

/** The corners of every path of a page in its user space, as PDFium reads them; control points of curves are left out. */
export async function pdfiumPaths(pdf: Uint8Array): Promise<[x: number, y: number][][]> {
  started ??= pdfium();
  const module = await started;
  const { pdfium: wasm } = module;
  const address = wasm.wasmExports.malloc(pdf.length);
  wasm.HEAPU8.set(pdf, address);
  const document = module.FPDF_LoadMemDocument(address, pdf.length, '');
  const page = module.FPDF_LoadPage(document, 0);
  const room = wasm.wasmExports.malloc(24);
  const floats = (count: number) => [...new Float32Array(wasm.HEAPU8.slice(room, room + 4 * count).buffer)];
  const paths: [number, number][][] = [];
  for (let i = 0; i < module.FPDFPage_CountObjects(page); i++) {
    const object = module.FPDFPage_GetObject(page, i);
    if (module.FPDFPageObj_GetType(object) !== PDFIUM_PATH) continue;
    module.FPDFPageObj_GetMatrix(object, room);
    const [a, b, c, d, e, f] = floats(6) as [number, number, number, number, number, number];
    const corners: [number, number][] = [];
    let controls = 0;
    for (let n = 0; n < module.FPDFPath_CountSegments(object); n++) {
      const segment = module.FPDFPath_GetPathSegment(object, n);
      controls = module.FPDFPathSegment_GetType(segment) === PDFIUM_BEZIER ? controls + 1 : 0;
      // A curve is told by three points, of which the third lies on it.
      if (controls % 3 !== 0) continue;
      module.FPDFPathSegment_GetPoint(segment, room, room + 4);
      const [x, y] = floats(2) as [number, number];
      corners.push([a * x + c * y + e, b * x + d * y + f]);
    }
    paths.push(corners);
  }
  module.FPDF_ClosePage(page);
  module.FPDF_CloseDocument(document);
  wasm.wasmExports.free(room);
  wasm.wasmExports.free(address);
  return paths;
}

/** FPDF_PAGEOBJ_PATH and FPDF_SEGMENT_BEZIERTO of PDFium's fpdf_edit.h. */
const PDFIUM_PATH = 2;
const PDFIUM_BEZIER = 1;

/** What of a content stream stays. */
export function keptBytes(cut: StreamCut, content: Uint8Array | string, pieceLength = 1 << 20): Uint8Array {
  const kept = new KeptContent(cut.gone(), []);
  const bytes = typeof content === 'string' ? asciiBytes(content) : content;
  for (let at = 0; at < bytes.length; at += pieceLength) kept.push(bytes.subarray(at, at + pieceLength));
  kept.end();
  return kept.kept.take();
}

export const keptText = (cut: StreamCut, content: Uint8Array | string): string =>
  Buffer.from(keptBytes(cut, content)).toString('latin1');
