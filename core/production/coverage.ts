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

/** Second hand: a coverage limit is judged over 15 mm². */
export const COVERAGE_WINDOW_MM2 = 15;

const FULL_INK = 255;

/** Measures a raster, or a part that lies within it. Throws a RangeError where its size is not that of its totals. */
export function coverageOfRaster(raster: InkRaster, part?: RasterWindow): Coverage {
  const { width, height, ppi, totals } = raster;
  if (!(Number.isInteger(width) && Number.isInteger(height) && width > 0 && height > 0 && ppi > 0)) {
    throw new RangeError(`A raster of ${width} × ${height} pixels at ${ppi} ppi has no coverage.`);
  }
  if (totals.length !== width * height)
    throw new RangeError(`The raster has ${totals.length} pixels, not ${width * height}.`);
  const pixelMm = MM_PER_INCH / ppi;
  const side = Math.max(1, Math.ceil(Math.sqrt(COVERAGE_WINDOW_MM2) / pixelMm));
  const measured = part ?? { x: 0, y: 0, width, height };
  const across = Math.min(side, measured.width);
  const down = Math.min(side, measured.height);
  const { sum, worst } = worstWindow(raster, measured, across, down);
  return {
    meanPercent: percentOf(sum, measured.width * measured.height),
    worstPercent: percentOf(worst.sum, across * down),
    worstAt: { xMm: worst.x * pixelMm, yMm: worst.y * pixelMm },
    windowMm2: across * down * pixelMm ** 2,
  };
}

const percentOf = (sum: number, samples: number): number => (100 * sum) / (FULL_INK * samples);

interface Sums {
  /** Of all pixels of the part. */
  readonly sum: number;
  /** The window with the largest sum, and where it begins in the part. */
  readonly worst: { readonly sum: number; readonly x: number; readonly y: number };
}

/**
 * Slides the window over every position with one sum per column, so that memory stays one row whatever the height.
 * Keeps PR2.
 */
function worstWindow({ width, totals }: InkRaster, part: RasterWindow, across: number, down: number): Sums {
  const columns = new Uint32Array(part.width);
  let all = 0;
  let worst = { sum: -1, x: 0, y: 0 };
  for (let y = 0; y < part.height; y++) {
    const at = (part.y + y) * width + part.x;
    all += rowAdded(columns, totals, at);
    if (y >= down) rowTaken(columns, totals, at - down * width);
    if (y < down - 1) continue;
    let sum = 0;
    for (let x = 0; x < across - 1; x++) sum += columns[x]!;
    for (let x = across - 1; x < part.width; x++) {
      sum += columns[x]!;
      if (sum > worst.sum) worst = { sum, x: x - across + 1, y: y - down + 1 };
      sum -= columns[x - across + 1]!;
    }
  }
  return { sum: all, worst };
}

/** Returns the sum of the row. */
function rowAdded(columns: Uint32Array, totals: Uint16Array, at: number): number {
  let sum = 0;
  for (let x = 0; x < columns.length; x++) {
    const total = totals[at + x]!;
    sum += total;
    columns[x]! += total;
  }
  return sum;
}

function rowTaken(columns: Uint32Array, totals: Uint16Array, at: number): void {
  for (let x = 0; x < columns.length; x++) columns[x]! -= totals[at + x]!;
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
