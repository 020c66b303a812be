/**
 * The cut: one window of an artwork page as a separate PDF, the size of its film.
 *
 *     const opened = await artworkFromSource(source, { codecs, password });
 *     if (!opened.ok) return opened.problem;
 *     const page = artworkPage(opened.value, 1, 'crop');          // size and boxes in drawn mm
 *     const cut = {
 *       page: 1, box: 'crop',
 *       window: { x: 100, y: 0, width: 150, height: 280 },        // drawn mm: what is printed
 *       scale: 10,                                                // finished ÷ drawn
 *       printed: { x: 30, y: 30, width: 1500, height: 2800 },     // film mm: where it is printed
 *       net: { x: 55, y: 80, width: 1450, height: 2720 },         // film mm: what stays visible
 *       filmWidthMm: 1560, filmHeightMm: 2860,
 *       size: { kind: 'true-size' },
 *       info: { title: 'LH-03', created: '2026-11-25', program: 'Panelwright 0.9.0' },
 *     };
 *     const panels = await cutPanels(opened.value, [cut], [output], { sha256, artworkSha256, flate });
 *     // output holds the file, panels.value[0].enlargeBy is the factor production must enlarge by
 *
 * All panels of a job are cut at once, and each is written to a separate output. The content of a page is walked once,
 * and read once more to be written. Each picture is unpacked once, and at most a band of it is held in memory, except
 * for JPEGs in several scans (`MAX_HELD_BYTES`) and decoded JPEG 2000. The bytes of a panel do not depend on the panels
 * that are cut with it.
 */

import { itemAt } from '../measure/present.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { Artwork } from '../pdf/document/artwork.ts';
import { type ArtworkProblem, withPdfProblems } from '../pdf/page/artwork-problem.ts';
import type { FileOutput } from '../pdf/write/pdf-writer.ts';
import type { CutPanel, CutTools, PanelCut } from './cut-request.ts';
import { cutPanelBatch } from './panel-batch.ts';
import { type PreparedCut, preparedCut } from './prepared-cut.ts';

/** A problem of one panel, with the index of its cut. */
export interface CutProblem extends ArtworkProblem {
  readonly cut?: number;
}

/** The most panels written side by side; no side has this many. Each needs an open file and segments in memory. */
const MAX_TOGETHER = 120;

/**
 * Cuts panels, each into its output. Vectors stay vectors and color stays as written: the page's content becomes a form
 * XObject, and the new page paints that form through one matrix. Content that paints nothing in the window is left out;
 * pictures are cropped without loss.
 *
 * The form has no Group. Patterns then keep their phase, because they follow the space of the content they are in (ISO
 * 32000-1, 8.7.2), and the source's page group, put on the new page, keeps its blending color space, which a form's
 * group would lose (11.6.6).
 *
 * Problems: those of the page, `cut-window-outside`, `cut-page-too-large`, `cut-page-too-small`; all but the first come
 * before anything is written. Errors of the outputs and tools are rethrown; files written by then must be discarded.
 * Keeps CUT1.
 */
export async function cutPanels(
  artwork: Artwork,
  cuts: readonly PanelCut[],
  outputs: readonly FileOutput[],
  tools: CutTools,
): Promise<Result<readonly CutPanel[], CutProblem>> {
  const prepared: PreparedCut[] = [];
  for (const [index, cut] of cuts.entries()) {
    const found = preparedCut(artwork, cut);
    if (!found.ok) return resultProblem({ ...found.problem, cut: index });
    prepared.push(found.value);
  }
  return withPdfProblems(async () => {
    const panels: CutPanel[] = [];
    const all = batches(prepared);
    for (const [i, batch] of all.entries()) {
      // The bytes of later pages are not known yet, so each page counts as many as this one.
      const onBytes = (done: number, total: number) => tools.onBytes?.(i * total + done, all.length * total);
      const cut = await cutPanelBatch(
        artwork,
        batch.map((index) => itemAt(prepared, index)),
        batch.map((index) => itemAt(outputs, index)),
        { ...tools, onBytes },
      );
      for (const [at, index] of batch.entries()) panels[index] = itemAt(cut, at);
    }
    return resultOk(panels);
  });
}

/** Indexes of panels that are cut together: those on the same page, seen through the same box. */
function batches(prepared: readonly PreparedCut[]): number[][] {
  const found: number[][] = [];
  const open = new Map<string, number[]>();
  for (const [index, { cut }] of prepared.entries()) {
    const key = `${cut.page} ${cut.box}`;
    let batch = open.get(key);
    if (batch === undefined || batch.length >= MAX_TOGETHER) {
      batch = [];
      open.set(key, batch);
      found.push(batch);
    }
    batch.push(index);
  }
  return found;
}
