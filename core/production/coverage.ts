import type { Finding } from '../findings/finding.ts';
import { lengthText } from '../measure/length-text.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';

/** The inks of a side at finished size: of each pixel the sum of all its inks, each from 0 to 255, row by row from the top. */
export interface InkRaster {
  readonly width: number;
  readonly height: number;
  /** Pixels per inch at finished size. */
  readonly ppi: number;
  readonly totals: Uint16Array;
}

/**
 * Total area coverage in percent: the sum of all plates, 400 for four full ones. Computed from the file; what the
 * press lays down depends on its profile and ink limit.
 */
export interface Coverage {
  readonly meanPercent: number;
  /** The highest mean over any window of `windowMm2`, so that a single dark pixel says nothing. */
  readonly worstPercent: number;
  /** Top left corner of that window. */
  readonly worstAt: { readonly xMm: Mm; readonly yMm: Mm };
  /** Area of the window as it was measured: whole pixels, 15 mm² or a little more. */
  readonly windowMm2: number;
}

/** Whole pixels of a raster. */
export interface RasterWindow {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A part of a raster, which must lie within it. */
export function rasterPart(raster: InkRaster, { x, y, width, height }: RasterWindow): InkRaster {
  const totals = new Uint16Array(width * height);
  for (let row = 0; row < height; row += 1) {
    const from = (y + row) * raster.width + x;
    totals.set(raster.totals.subarray(from, from + width), row * width);
  }
  return { width, height, ppi: raster.ppi, totals };
}

/** Second hand: a coverage limit is judged over 15 mm². */
export const COVERAGE_WINDOW_MM2 = 15;

const FULL_INK = 255;

/** Measures a raster. Throws a RangeError where its size is not that of its totals. */
export function coverageOfRaster(raster: InkRaster): Coverage {
  const { width, height, ppi, totals } = raster;
  if (!(Number.isInteger(width) && Number.isInteger(height) && width > 0 && height > 0 && ppi > 0)) {
    throw new RangeError(`A raster of ${width} × ${height} pixels at ${ppi} ppi has no coverage.`);
  }
  if (totals.length !== width * height)
    throw new RangeError(`The raster has ${totals.length} pixels, not ${width * height}.`);
  const pixelMm = MM_PER_INCH / ppi;
  const side = Math.max(1, Math.ceil(Math.sqrt(COVERAGE_WINDOW_MM2) / pixelMm));
  const across = Math.min(side, width);
  const down = Math.min(side, height);
  const worst = worstWindow(totals, width, across, down);
  return {
    meanPercent: percentOf(sumOf(totals), totals.length),
    worstPercent: percentOf(worst.sum, across * down),
    worstAt: { xMm: worst.x * pixelMm, yMm: worst.y * pixelMm },
    windowMm2: across * down * pixelMm ** 2,
  };
}

const percentOf = (sum: number, samples: number): number => (100 * sum) / (FULL_INK * samples);

function sumOf(totals: Uint16Array): number {
  let sum = 0;
  for (let at = 0; at < totals.length; at += 1) sum += totals[at]!;
  return sum;
}

/** Slides the window over every position with one sum per column, so that memory stays one row whatever the height. */
function worstWindow(
  totals: Uint16Array,
  width: number,
  across: number,
  down: number,
): { sum: number; x: number; y: number } {
  const height = totals.length / width;
  const columns = new Uint32Array(width);
  let worst = { sum: -1, x: 0, y: 0 };
  for (let row = 0; row < height; row++) {
    const at = row * width;
    const gone = at - down * width;
    for (let x = 0; x < width; x++) columns[x]! += totals[at + x]! - (gone < 0 ? 0 : totals[gone + x]!);
    if (row < down - 1) continue;
    let sum = 0;
    for (let x = 0; x < width; x++) {
      sum += columns[x]!;
      if (x >= across) sum -= columns[x - across]!;
      if (x >= across - 1 && sum > worst.sum) worst = { sum, x: x - across + 1, y: row - down + 1 };
    }
  }
  return worst;
}

/** What a coverage above the limit is off by at most, computed from a file: within this share it is a note. */
const ESTIMATE_TOLERANCE = 0.05;

export interface CoveredPanel extends Pick<Coverage, 'worstPercent' | 'worstAt'> {
  readonly panelId: string;
  readonly label: string;
}

/**
 * One finding for panels whose worst window is above the shop's ink limit, both in percent: the heaviest by name and
 * place, the others by name.
 */
export function coverageFindings(
  panels: readonly CoveredPanel[],
  limitPercent: number,
  unit: 'mm' | 'in',
): Finding[] {
  const over = panels
    .filter(({ worstPercent }) => worstPercent > limitPercent)
    .sort((a, b) => b.worstPercent - a.worstPercent);
  const [worst, ...others] = over;
  if (!worst) return [];
  const length = (mm: Mm) => lengthText(unit === 'mm' ? Math.round(mm) : mm, unit);
  const at = `${length(worst.worstAt.xMm)} from the left, ${length(worst.worstAt.yMm)} from the top`;
  const also = others.length === 0 ? '' : `; also above it: ${others.map(({ label }) => label).join(', ')}`;
  const percent = Math.round(worst.worstPercent);
  return [
    {
      code: 'coverage-over-limit',
      severity: worst.worstPercent > limitPercent * (1 + ESTIMATE_TOLERANCE) ? 'warn' : 'note',
      where: { panelId: worst.panelId },
      message: `${worst.label} reaches about ${percent} % total area coverage in the file, ${at} of its image; the limit is ${limitPercent} %${also}.`,
      remedy: 'Have the RIP hold the total ink to the limit of the film, or allow for longer drying.',
      figure: percent,
    },
  ];
}
