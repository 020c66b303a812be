/**
 * Finds which samples of an artwork image a panel's image must have: those of the part that it covers. A crop with
 * edges between samples, or with another number of samples, matches none.
 */
import { PDFStream } from 'pdf-lib';
import { numberOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { matrixInverse, matrixProduct } from '../../pdf/page/page-space.ts';
import type { PaintedImage } from './painted-sequence.ts';

/** Samples: whole columns and rows, counted from the top left. */
export interface SampleWindow {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** One picture of a panel and the samples of the artwork that it must hold. */
export interface SamplesClaimed {
  readonly panel: PDFStream;
  readonly source: PDFStream;
  readonly window: SampleWindow;
  /** Which part: the image itself, or a mask of it. */
  readonly part: 'image' | 'SMask' | 'Mask';
}

export interface ImageFiles {
  readonly panel: PdfFile;
  readonly source: PdfFile;
  /** Points of the panel's page per unit of the artwork's page. */
  readonly pointsPerUnit: number;
}

/**
 * Edges moved inward keep renderers from rounding pictures outward; they may be moved by this many points and no more.
 */
const MAX_INSET_POINTS = 0.005;
const ROUNDING = 1e-5;

/** The samples that the image must have, or the end of a sentence that says why it is no part of the original. */
export async function samplesClaimed(
  [inPanel, inSource]: readonly [PaintedImage, PaintedImage],
  { panel, source, pointsPerUnit }: ImageFiles,
): Promise<readonly SamplesClaimed[] | string> {
  const inverse = matrixInverse(inSource.ctm);
  const isSamePlace = inPanel.ctm.every((value, i) => value === inSource.ctm[i]);
  const place = isSamePlace ? ([1, 0, 0, 1, 0, 0] as const) : inverse && matrixProduct(inPanel.ctm, inverse);
  if (!place) return 'lies in another place';
  const [a, b, c, d, e, f] = place;
  if (Math.max(Math.abs(b), Math.abs(c)) > ROUNDING) return 'is turned or slanted';
  if (a <= 0 || d <= 0) return 'is mirrored';
  const [ua, ub, uc, ud] = inSource.ctm;
  const insetX = MAX_INSET_POINTS / Math.max(1e-9, Math.hypot(ua, ub) * pointsPerUnit);
  const insetY = MAX_INSET_POINTS / Math.max(1e-9, Math.hypot(uc, ud) * pointsPerUnit);
  const across = { from: e, to: e + a, inset: insetX };
  // The first row is at the top of the unit square (8.9.5.1).
  const down = { from: 1 - f - d, to: 1 - f, inset: insetY };
  const found: SamplesClaimed[] = [];
  for (const part of ['image', 'SMask', 'Mask'] as const) {
    const ours = part === 'image' ? inPanel.stream : await panel.entry(inPanel.stream.dict, part);
    const theirs = part === 'image' ? inSource.stream : await source.entry(inSource.stream.dict, part);
    if (!(theirs instanceof PDFStream)) {
      if (ours instanceof PDFStream) return `has a mask (${part}) that the artwork does not have`;
      continue;
    }
    if (!(ours instanceof PDFStream)) return `has lost its mask (${part})`;
    const [ourSize, size] = [await imageSize(ours, panel), await imageSize(theirs, source)];
    const x = sampleRange(across, size.width, ourSize.width);
    const y = sampleRange(down, size.height, ourSize.height);
    if (x === undefined || y === undefined) {
      return `of ${ourSize.width} × ${ourSize.height} pixels is not a part of the picture of ${size.width} × ${size.height} pixels in its place`;
    }
    const window = { x, y, width: ourSize.width, height: ourSize.height };
    found.push({ panel: ours, source: theirs, window, part });
  }
  return found;
}

async function imageSize(stream: PDFStream, file: PdfFile): Promise<{ width: number; height: number }> {
  const length = async (key: string) => numberOf(await file.entry(stream.dict, key)) ?? 0;
  return { width: await length('Width'), height: await length('Height') };
}

/** The first sample of a part of an edge; the part must be exactly `samples` of its `size` samples. */
function sampleRange(
  { from, to, inset }: { readonly from: number; readonly to: number; readonly inset: number },
  size: number,
  samples: number,
): number | undefined {
  const slack = Math.min(0.4, inset * size + ROUNDING * size * 0.1 + 1e-3);
  const [first, end] = [from * size, to * size];
  const [start, stop] = [Math.round(first), Math.round(end)];
  const isExact = Math.abs(first - start) <= slack && Math.abs(end - stop) <= slack;
  return isExact && stop - start === samples && start >= 0 && stop <= size ? start : undefined;
}
