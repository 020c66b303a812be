import type { OutputSize } from '../job/schema.ts';
import { MAX_PAGE_MM, MAX_PAGE_UNITS, MIN_PAGE_UNITS } from '../measure/page-limits.ts';
import { type Rect, rectBottom, rectRight } from '../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import { MM_PER_PT, type Mm } from '../measure/units.ts';
import { type ArtworkProblem, artworkProblem } from '../pdf/page/artwork-problem.ts';
import { type Matrix, matrixProduct, type PageSpace, type SourceBox } from '../pdf/page/page-space.ts';

/** Scales that differ by less than this share count as equal. */
const SCALE_TOLERANCE = 1e-4;

export interface FilmSize {
  readonly filmWidthMm: Mm;
  readonly filmHeightMm: Mm;
}

/** Maps film millimeters to units of the panel's page. */
export interface PagePlan {
  readonly widthUnits: number;
  readonly heightUnits: number;
  /** 1 where the page needs none. */
  readonly userUnit: number;
  /** The factor by which production must enlarge the file: that of the reduction, 1 otherwise. */
  readonly enlargeBy: number;
  /** Film mm, y down, to page units, y up. */
  readonly toPage: Matrix;
}

/** The factor by which production must enlarge a file of this output size. */
export const enlargement = (size: OutputSize): number => (size.kind === 'reduction' ? size.factor : 1);

/** Plans the page for one piece of film, or says why the film does not fit the requested size. Keeps CUT4. */
export function pagePlan(film: FilmSize, size: OutputSize): Result<PagePlan, ArtworkProblem> {
  const longestPt = Math.max(film.filmWidthMm, film.filmHeightMm) / MM_PER_PT;
  const enlargeBy = enlargement(size);
  const userUnit = size.kind === 'user-unit' ? Math.max(1, Math.ceil(longestPt / MAX_PAGE_UNITS - 1e-9)) : 1;
  const unitsPerMm = 1 / (MM_PER_PT * enlargeBy * userUnit);
  const widthUnits = film.filmWidthMm * unitsPerMm;
  const heightUnits = film.filmHeightMm * unitsPerMm;
  const shortest = Math.min(widthUnits, heightUnits);
  const longest = Math.max(widthUnits, heightUnits);
  if (longest > MAX_PAGE_UNITS + 1e-6) return resultProblem(tooLarge(film, size, longestPt));
  if (shortest < MIN_PAGE_UNITS) return resultProblem(tooSmall(film));
  return resultOk({
    widthUnits,
    heightUnits,
    userUnit,
    enlargeBy,
    toPage: [unitsPerMm, 0, 0, -unitsPerMm, 0, heightUnits],
  });
}

function tooLarge(film: FilmSize, size: OutputSize, longestPt: number): ArtworkProblem {
  const factor = Math.ceil(longestPt / MAX_PAGE_UNITS);
  const asked = size.kind === 'reduction' ? `reduced 1:${size.factor}` : 'at true size';
  return artworkProblem(
    'cut-page-too-large',
    `The panel's film is ${Math.round(film.filmWidthMm)} × ${Math.round(film.filmHeightMm)} mm; ${asked} it is longer than the ${Math.round(MAX_PAGE_MM)} mm (14,400 units) that a PDF page can safely be.`,
    `Select a reduction of 1:${factor} or more, or UserUnit if your RIP supports it.`,
  );
}

function tooSmall(film: FilmSize): ArtworkProblem {
  return artworkProblem(
    'cut-page-too-small',
    `The panel's film is ${film.filmWidthMm.toFixed(1)} × ${film.filmHeightMm.toFixed(1)} mm, which as a PDF page is smaller than 3 units (about 1 mm).`,
    'Select a smaller reduction, or join the panel with its neighbor.',
  );
}

/** A film rectangle as a box of the panel's page. Keeps CUT3. */
export function pageBoxFromFilm(plan: PagePlan, rect: Rect<'film'>): SourceBox {
  const [unitsPerMm] = plan.toPage;
  return {
    x0: rect.x * unitsPerMm,
    y0: plan.heightUnits - rectBottom(rect) * unitsPerMm,
    x1: rectRight(rect) * unitsPerMm,
    y1: plan.heightUnits - rect.y * unitsPerMm,
  };
}

/**
 * The form matrix: maps source user space to page units, so that `area` of the drawing falls on `printed` of the film.
 * Throws where the two disagree with `scale`, which is a bug of the caller, not a fault of the artwork.
 */
export function artMatrix(
  space: PageSpace,
  { area, printed }: { readonly area: Rect<'drawn'>; readonly printed: Rect<'film'> },
  scale: number,
  plan: PagePlan,
  isMirrored = false,
): Matrix {
  for (const [drawn, film] of [
    [area.width, printed.width],
    [area.height, printed.height],
  ] as const) {
    if (Math.abs(drawn * scale - film) > SCALE_TOLERANCE * film) {
      throw new Error(`A window of ${drawn} mm at scale ${scale} is not ${film} mm on the film`);
    }
  }
  const across = isMirrored
    ? { scale: -scale, shift: rectRight(printed) + area.x * scale }
    : { scale, shift: printed.x - area.x * scale };
  const drawnToFilm: Matrix = [across.scale, 0, 0, scale, across.shift, printed.y - area.y * scale];
  return matrixProduct(matrixProduct(space.toDrawn, drawnToFilm), plan.toPage);
}
