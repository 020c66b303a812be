import { createHash } from 'node:crypto';
import type { CutTools, PanelCut } from '../../core/cut/cut-request.ts';
import type { OutputSize } from '../../core/job/schema.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { type Artwork, artworkPage } from '../../core/pdf/document/artwork.ts';
import { flateCodec } from '../../main/cut/flate.ts';
import { pdfCodecs } from '../../main/files/pdf-source.ts';
import { artworkFromBytes } from './artwork-bytes.ts';
import { type PanelPdf, panelPdf } from './panel-pdf.ts';
import { pdfiumPicture, type RenderOptions } from './pdfium.ts';
import { type Picture, type PixelRect, pictureCropped } from './picture.ts';

export const sha256 = (bytes: Uint8Array): Uint8Array =>
  new Uint8Array(createHash('sha256').update(bytes).digest());

export const TOOLS: CutTools = {
  sha256,
  artworkSha256: '0'.repeat(64),
  flate: flateCodec(),
};

export const TEST_INFO: PanelCut['info'] = {
  title: 'LH-03',
  created: '2026-11-25',
  program: 'Panelwright test',
};

/** The value of a result that must be one; otherwise the problem's own words fail the test. */
export function resultValue<T>(result: Result<T, Problem>): T {
  if (!result.ok) throw new Error(`${result.problem.code}: ${result.problem.message}`);
  return result.value;
}

export const opened = async (pdf: Uint8Array, password?: string): Promise<Artwork> =>
  resultValue(await artworkFromBytes(pdf, { codecs: pdfCodecs, password }));

/** A cut described in pixels of the rendered source, so that panel and source fall on the same grid. */
export interface PixelCut {
  /** The printed area on the rendered page; the whole page when absent. */
  readonly window?: PixelRect;
  /** Pixels per drawn inch. */
  readonly ppi?: number;
  readonly scale?: number;
  readonly size?: OutputSize;
  readonly box?: PageBox;
  readonly page?: number;
  readonly password?: string;
  readonly marks?: PanelCut['marks'];
}

/** Unprinted film around the printed image, in pixels; all different, so that no mix-up goes unseen. */
const BORDER = { left: 7, top: 5, right: 3, bottom: 11 };
/** What of the printed image is not visible when installed, in pixels. */
const ALLOWANCE = { left: 2, top: 3, right: 4, bottom: 1 };

export interface CutPanel {
  readonly cut: PanelCut;
  readonly panel: PanelPdf;
  readonly window: PixelRect;
  readonly ppi: number;
  readonly sourceUserUnit: number;
}

/** Cuts a panel whose window, film and borders are whole pixels. */
export async function pixelCut(pdf: Uint8Array, asked: PixelCut = {}): Promise<CutPanel> {
  const { ppi = 72, scale = 1, size = { kind: 'true-size' }, box = 'crop', page = 1 } = asked;
  const artwork = await opened(pdf, asked.password);
  const { widthMm, heightMm, userUnit } = resultValue(artworkPage(artwork, page, box));
  const mm = (pixels: number): number => (pixels * 25.4) / ppi;
  const window = asked.window ?? {
    x: 0,
    y: 0,
    width: Math.round((widthMm * ppi) / 25.4),
    height: Math.round((heightMm * ppi) / 25.4),
  };
  const film = (pixels: number): number => mm(pixels) * scale;
  const cut: PanelCut = {
    page,
    box,
    window: { x: mm(window.x), y: mm(window.y), width: mm(window.width), height: mm(window.height) },
    scale,
    printed: {
      x: film(BORDER.left),
      y: film(BORDER.top),
      width: film(window.width),
      height: film(window.height),
    },
    net: {
      x: film(BORDER.left + ALLOWANCE.left),
      y: film(BORDER.top + ALLOWANCE.top),
      width: film(window.width - ALLOWANCE.left - ALLOWANCE.right),
      height: film(window.height - ALLOWANCE.top - ALLOWANCE.bottom),
    },
    filmWidthMm: film(BORDER.left + window.width + BORDER.right),
    filmHeightMm: film(BORDER.top + window.height + BORDER.bottom),
    size,
    info: TEST_INFO,
    marks: asked.marks,
  };
  const panel = resultValue(await panelPdf(artwork, cut, TOOLS));
  return { cut, panel, window, ppi, sourceUserUnit: userUnit };
}

/** A renderer as the checks see it. */
export interface Renderer {
  readonly picture: (pdf: Uint8Array, options: RenderOptions) => Picture | Promise<Picture>;
  /** Whether the size of the picture follows UserUnit. */
  readonly knowsUserUnit: boolean;
}

export const PDFIUM: Renderer = { picture: pdfiumPicture, knowsUserUnit: false };

export interface RenderedPair {
  /** The window of the source page. */
  readonly source: Picture;
  /** The printed area of the panel. */
  readonly printed: Picture;
  /** The whole panel, with its border. */
  readonly film: Picture;
}

let latestPage: { readonly of: readonly unknown[]; readonly picture: Picture } | undefined;

/** A whole page of the source. Several panels of one are compared in a row, so the latest picture is kept. */
async function pagePicture(pdf: Uint8Array, renderer: Renderer, options: RenderOptions): Promise<Picture> {
  const of = [pdf, renderer.picture, options.page, options.password, options.ppi];
  if (!latestPage || latestPage.of.some((value, i) => value !== of[i])) {
    latestPage = { of, picture: await renderer.picture(pdf, options) };
  }
  return latestPage.picture;
}

/** Source window and panel, rendered by the same renderer at the same size; `finer` times as fine as the cut's pixels. */
export async function renderedPair(
  pdf: Uint8Array,
  done: CutPanel,
  renderer: Renderer = PDFIUM,
  options: { readonly page?: number; readonly password?: string; readonly finer?: number } = {},
): Promise<RenderedPair> {
  const { cut, panel, sourceUserUnit, window } = done;
  const finer = options.finer ?? 1;
  const ppi = done.ppi * finer;
  const perUnit = (userUnit: number): number => (renderer.knowsUserUnit ? 1 : userUnit);
  const page = await pagePicture(pdf, renderer, { ...options, ppi: ppi * perUnit(sourceUserUnit) });
  const panelPpi = (ppi / cut.scale) * panel.enlargeBy * perUnit(panel.userUnit);
  const film = await renderer.picture(panel.bytes, { ppi: panelPpi });
  const shown = (rect: PixelRect): PixelRect => ({
    x: rect.x * finer,
    y: rect.y * finer,
    width: rect.width * finer,
    height: rect.height * finer,
  });
  const printed = shown({ ...window, x: BORDER.left, y: BORDER.top });
  return { source: pictureCropped(page, shown(window)), printed: pictureCropped(film, printed), film };
}
