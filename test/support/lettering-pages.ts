import { join } from 'node:path';
import { artworkScan } from '../../core/checks/scan/artwork-scan.ts';
import { sideLettering } from '../../core/checks/side-lettering.ts';
import type { Side } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import type { Lettering } from '../../core/lettering/lettering.ts';
import { type Rect, rectArea, rectIntersection, rectsUnionArea } from '../../core/measure/rect.ts';
import { openArtwork, scanArtwork } from '../../main/artwork/artwork-file.ts';
import { runTool } from './tools.ts';

type Box = readonly [left: number, top: number, right: number, bottom: number];

export interface MarkedPage {
  readonly heldOut: boolean;
  /** Lines with capitals of 50 mm and more, where the long way of the page is a side of 3 m. */
  readonly lettering: readonly Box[];
  /** Smaller lettering, single letters and figures, signs: neither asked for nor wrong. */
  readonly other: readonly Box[];
}

const LONG_WAY_MM = 3000;
const LEAST_CAPITALS_MM = 50;

/** A line is found where found lines cover this share of its box, which is drawn by hand; so is a found word right. */
const FOUND_SHARE = 0.5;

export async function letteringScoreOnPages(
  folder: string,
  pages: readonly (readonly [string, MarkedPage])[],
) {
  const counts = {
    lines: 0,
    linesFound: 0,
    linesSure: 0,
    words: 0,
    wordsRight: 0,
    shapes: 0,
    shapesRight: 0,
  };
  const missed: string[] = [];
  for (const [name, marked] of pages) {
    const { lettering, place } = await letteringOfPage(join(folder, name));
    const lines = marked.lettering.map(place);
    const known = [...lines, ...marked.other.map(place)];
    const rects = lettering.map(({ rect }) => rect);
    const sure = lettering.filter(({ isSure }) => isSure).map(({ rect }) => rect);
    for (const [index, line] of lines.entries()) {
      counts.lines++;
      if (coveredShare(line, sure) >= FOUND_SHARE) counts.linesSure++;
      if (coveredShare(line, rects) >= FOUND_SHARE) counts.linesFound++;
      else missed.push(`${name} line ${index}: ${coveredShare(line, rects).toFixed(2)}`);
    }
    // Lettering beside the page is not shown, so no box could be drawn around it.
    const words = lettering.flatMap(({ words: rects, ...line }) =>
      rects.flatMap((rect) => {
        const shown = rectIntersection(rect, place([0, 0, 100, 100]));
        return shown ? [{ ...line, rect: shown }] : [];
      }),
    );
    for (const { rect, capHeightMm, id, isSure } of words) {
      if (capHeightMm < LEAST_CAPITALS_MM || !isSure) continue;
      // Lettering on other lettering is evidence of neither kind.
      if (coveredShare(rect, marked.other.map(place)) >= FOUND_SHARE) continue;
      const isRight = coveredShare(rect, known) >= FOUND_SHARE;
      counts.words++;
      if (isRight) counts.wordsRight++;
      const isShapes = id.startsWith('shapes');
      if (isShapes) counts.shapes++;
      if (isShapes && isRight) counts.shapesRight++;
      if (!isRight) missed.push(`${name} wrong ${id} ${JSON.stringify(rect)}`);
    }
  }
  return {
    ...counts,
    recall: counts.linesFound / counts.lines,
    recallOfWarnings: counts.linesSure / counts.lines,
    precision: counts.wordsRight / counts.words,
    shapesPrecision: counts.shapesRight / counts.shapes,
    missed,
  };
}

async function letteringOfPage(path: string): Promise<{
  readonly lettering: readonly Lettering[];
  place(box: Box): Rect<'finished'>;
}> {
  const opened = await openArtwork(path, { box: 'crop' });
  if (!opened.ok) throw new Error(`${path}: ${opened.problem.message}`);
  const scanned = await scanArtwork(opened.value);
  const page = scanned.scan.pages.find(({ number }) => number === 1);
  const extent = opened.value.pages.find(({ number }) => number === 1)?.boxes.crop;
  if (!page || !extent) throw new Error(`${path}: page 1 cannot be used`);
  const scale = LONG_WAY_MM / Math.max(extent.width, extent.height);
  const side = { artworkRect: storedFromRect(extent) } as Side;
  return {
    lettering: sideLettering({ scale }, side, page),
    place: ([left, top, right, bottom]) => ({
      x: (left / 100) * extent.width * scale,
      y: (top / 100) * extent.height * scale,
      width: ((right - left) / 100) * extent.width * scale,
      height: ((bottom - top) / 100) * extent.height * scale,
    }),
  };
}

const coveredShare = (rect: Rect<'finished'>, by: readonly Rect<'finished'>[]): number =>
  rectsUnionArea(by.flatMap((other) => rectIntersection(rect, other) ?? [])) / rectArea(rect);

/** How many words of live text an independent reader of PDF (Poppler) sees on pages, and how many the scan has there. */
export async function liveTextScoreOnPages(folder: string, names: readonly string[]) {
  const counts = { words: 0, found: 0 };
  const missed: string[] = [];
  for (const name of names) {
    const path = join(folder, name);
    const opened = await openArtwork(path, { box: 'crop' });
    if (!opened.ok) throw new Error(`${path}: ${opened.problem.message}`);
    const scan = await artworkScan(opened.value.artwork, 'crop');
    const page = scan.pages.find(({ number }) => number === 1);
    const box = page?.boxes.crop;
    if (!page || !box) throw new Error(`${path}: page 1 cannot be used`);
    for (const { text, x, y } of wordsByOutsideReader(path)) {
      const isOnPage = x > 0 && y > 0 && x < box.width && y < box.height;
      if (!isOnPage || !/[\p{L}\p{N}]/u.test(text)) continue;
      counts.words++;
      const isFound = page.lettering.some(
        ({ area, sizeMm }) =>
          x > area.x - sizeMm / 2 &&
          x < area.x + area.width + sizeMm / 2 &&
          y > area.y - sizeMm / 2 &&
          y < area.y + area.height + sizeMm / 2,
      );
      if (isFound) counts.found++;
      else missed.push(`${name}: ${text} at ${x.toFixed(0)}, ${y.toFixed(0)} mm`);
    }
  }
  return { ...counts, recall: counts.found / counts.words, missed };
}

/** Text and middle of each word of page 1, in mm. */
function wordsByOutsideReader(path: string): { text: string; x: number; y: number }[] {
  const html = runTool('pdftotext', ['-f', '1', '-l', '1', '-cropbox', '-bbox', path, '-']).toString();
  const mm = (from: string, to: string) => ((Number(from) + Number(to)) / 2) * (25.4 / 72);
  return [...html.matchAll(WORD)].map(([, x0, y0, x1, y1, text]) => ({
    text: text!,
    x: mm(x0!, x1!),
    y: mm(y0!, y1!),
  }));
}

const WORD = /<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)<\/word>/g;
