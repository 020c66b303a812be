/**
 * The cut: one window of an artwork page as a PDF of its own, the size of its film.
 *
 *     const opened = await artworkFromBytes(bytes, { codecs, password });
 *     if (!opened.ok) return opened.problem;
 *     const page = artworkPage(opened.value, 1, 'crop');          // size and boxes in drawn mm
 *     const panel = await panelPdf(opened.value, {
 *       page: 1, box: 'crop',
 *       window: { x: 100, y: 0, width: 150, height: 280 },        // drawn mm: what is printed
 *       scale: 10,                                                // finished ÷ drawn
 *       printed: { x: 30, y: 30, width: 1500, height: 2800 },     // film mm: where it is printed
 *       net: { x: 55, y: 80, width: 1450, height: 2720 },         // film mm: what stays visible
 *       filmWidthMm: 1560, filmHeightMm: 2860,
 *       size: { kind: 'true-size' },
 *       info: { title: 'LH-03', created: '2026-11-25', program: 'Panelwright 0.1.0' },
 *     }, { sha256 });
 *     // panel.value.bytes is the file, panel.value.enlargeBy the factor production must enlarge by
 *
 * Any number of panels can be cut from one opened artwork, one after the other or at the same time.
 */
import type { PDFContext, PDFDict } from 'pdf-lib';
import type { OutputSize, PageBox } from '../job/schema.ts';
import type { Rect } from '../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import { type Artwork, pageWithSpace, type SourcePage, visibleBox } from './artwork.ts';
import { type ArtworkProblem, artworkProblem, withPdfProblems } from './artwork-problem.ts';
import type { Replacement } from './object-copier.ts';
import { contentFromBytes, type PageContent, pageContent } from './page-content.ts';
import { boxIntersection } from './page-space.ts';
import { artMatrix, pagePlan } from './panel-geometry.ts';
import type { PanelInfo, Sha256 } from './panel-info.ts';
import { PanelWriter } from './panel-writer.ts';

export interface PanelCut {
  /** Page of the artwork, counted from 1. */
  readonly page: number;
  /** The page box whose top left corner is the origin of `window`. */
  readonly box: PageBox;
  /** The printed area on the drawing. */
  readonly window: Rect<'drawn'>;
  /** Finished size ÷ drawn size. */
  readonly scale: number;
  /** Where the printed area lies on the film; the same area as `window`. Becomes the BleedBox. */
  readonly printed: Rect<'film'>;
  /** What stays visible when installed. Becomes the TrimBox. */
  readonly net: Rect<'film'>;
  readonly filmWidthMm: Mm;
  readonly filmHeightMm: Mm;
  readonly size: OutputSize;
  readonly info: PanelInfo;
  readonly marks?: PanelMarks | undefined;
}

/** Whoever draws labels and marks, seen from the cut. They get a layer of their own, above the art. */
export interface PanelMarks {
  /** Name of the layer, for the operator of the RIP. */
  readonly layer: string;
  /** Everything that decides how the marks look, so that other marks make another file identifier. */
  readonly key: string;
  /**
   * Draws them. Coordinates are film millimetres with y pointing up from the bottom left corner of the film, so
   * text stands upright. Fonts and other objects are registered in `context`.
   */
  draw(context: PDFContext, film: { readonly widthMm: Mm; readonly heightMm: Mm }): MarksContent;
}

export interface MarksContent {
  /** Content stream operators. */
  readonly operators: string | Uint8Array;
  readonly resources: PDFDict;
}

export interface PanelTools {
  readonly sha256: Sha256;
  /**
   * Gives smaller stand-ins for objects of the source. An image may be stood in for by a form that paints its
   * cropped part into the unit square; the crop may stand in that form's Resources directly, as a stream.
   */
  readonly replacement?: Replacement | undefined;
  /** The page's content, decoded, without what does not show in this window. Absent: all of it. */
  readonly content?: Uint8Array | undefined;
}

export interface PanelPdf {
  readonly bytes: Uint8Array;
  /** Production enlarges by this factor: 1 unless a reduction was asked for. */
  readonly enlargeBy: number;
  readonly userUnit: number;
}

/**
 * Cuts one panel. Vector stays vector and colour stays as written: the page's content becomes a form XObject
 * as it is, and the new page paints that form through one matrix.
 *
 * The form has no Group of its own: then patterns keep their phase, because they follow the space of the
 * content they are in (ISO 32000-1, 8.7.2), and the source's page group, put on the new page, keeps its blending
 * colour space, which a form's would lose (11.6.6).
 *
 * Problems: those of the page, `cut-window-outside`, `cut-page-too-large`, `cut-page-too-small`.
 */
export async function panelPdf(
  artwork: Artwork,
  cut: PanelCut,
  tools: PanelTools,
): Promise<Result<PanelPdf, ArtworkProblem>> {
  const found = pageWithSpace(artwork, cut.page, cut.box);
  if (!found.ok) return found;
  const { source, geometry, space } = found.value;
  const clip = boxIntersection(space.boxFromRect(cut.window), visibleBox(geometry, cut.box));
  if (!clip) {
    return resultProblem(
      artworkProblem(
        'cut-window-outside',
        `The panel lies outside the artwork on page ${cut.page}: nothing would be printed.`,
        "Check the side's place on the page, or move the seams.",
      ),
    );
  }
  const planned = pagePlan(cut, cut.size);
  if (!planned.ok) return planned;
  const plan = planned.value;
  const matrix = artMatrix(space, cut.window, cut.printed, cut.scale, plan);
  return withPdfProblems(async () => {
    const content = tools.content
      ? contentFromBytes(tools.content)
      : await contentForCutting(artwork, source);
    const writer = new PanelWriter(artwork, source, plan, tools);
    const bytes = await writer.written(cut, content, { box: clip, matrix });
    return resultOk({ bytes, enlargeBy: plan.enlargeBy, userUnit: plan.userUnit });
  });
}

const lastContents = new WeakMap<Artwork, { source: SourcePage; content: Promise<PageContent> }>();

/** Panels of one page are cut one after the other, so the last page's content is kept. */
function contentForCutting(artwork: Artwork, source: SourcePage): Promise<PageContent> {
  const last = lastContents.get(artwork);
  if (last?.source === source) return last.content;
  const content = pageContent(artwork.file, source.page);
  lastContents.set(artwork, { source, content });
  return content;
}
