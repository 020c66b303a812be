/** The paths that a page draws, as points joined by straight lines, to be traced. */
import type { PDFObject } from 'pdf-lib';
import { pointsAlongCurve } from '../../measure/flat-curve.ts';
import { firstOf, lastOf } from '../../measure/present.ts';
import type { Point } from '../../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { problemTooLarge } from '../file/pdf-problem.ts';
import { matrixPoint } from '../page/page-space.ts';
import { boxGrown, boxOverlap, isBoxEmpty, matrixReach } from './bounds.ts';
import type { ContentPage } from './content-page.ts';
import type { Color } from './graphics-state.ts';
import type { Painted } from './painted.ts';
import type { PathPlace, Subpath } from './subpath.ts';
import { walkContent } from './walk.ts';

export interface PageOutline {
  /** The first point of a closed path is not repeated. */
  readonly points: readonly Point<'drawn'>[];
  readonly isClosed: boolean;
  /** The color of the line where there is one, else of the area. */
  readonly color: Pick<Color, 'space' | 'values' | 'pattern'>;
  /** Drawn width of the line; 0 for an area without one. */
  readonly widthMm: Mm;
  /** Names of the layers that the path belongs to. */
  readonly layers: readonly string[];
  /** Whether it shows when the file opens. */
  readonly isVisible: boolean;
}

/** The drawing of a vehicle has a few thousand. */
const MOST_OUTLINES = 200_000;
/** Shares of the page's diagonal: on a page that is 40 m across at finished size, 40 mm and 0.4 mm. */
const LEAST_SHARE = 1e-3;
const FLAT_SHARE = 1e-5;

/**
 * Every path that a page fills or strokes, in drawn mm, including paths on layers that are off. Paths smaller than a
 * thousandth of the page are left out. Patterns, masks, letters and paths that only clip do not count.
 *
 * @throws PdfProblem when the content cannot be read, or has more than 200,000 of them.
 */
export async function pageOutlines(page: ContentPage): Promise<PageOutline[]> {
  const { space, layers } = page;
  const diagonal = Math.hypot(space.widthMm, space.heightMm);
  const found: (Omit<PageOutline, 'layers'> & { readonly memberships: readonly PDFObject[] })[] = [];
  await walkContent(page, {
    wantsOutlines: true,
    onPainted(painted) {
      const { outline = [], isStroked, state, isVisible, level } = painted;
      if (level.isByProxy || isOutside(painted)) return;
      const drawing = {
        color: isStroked ? state.stroke : state.fill,
        widthMm: isStroked ? lineWidthMm(painted, space.mmPerUnit) : 0,
        memberships: painted.layers,
        isVisible,
      };
      for (const subpath of outline) {
        const points = pointsOf(subpath, drawnPoint, diagonal * FLAT_SHARE);
        const isClosed = points.length > 2 && (subpath.isClosed || !isStroked || isEndAtStart(points));
        if (extent(points) >= diagonal * LEAST_SHARE)
          found.push({
            points: isClosed && isEndAtStart(points) ? points.slice(0, -1) : points,
            isClosed,
            ...drawing,
          });
        if (found.length > MOST_OUTLINES)
          throw problemTooLarge('The page draws more than 200,000 paths, which is no vehicle.');
      }
    },
  });

  function drawnPoint({ x, y }: PathPlace): Point<'drawn'> {
    const [drawnX, drawnY] = matrixPoint(space.toDrawn, x, y);
    return { x: drawnX, y: drawnY };
  }

  const named = new Map<readonly PDFObject[], readonly string[]>();
  const outlines: PageOutline[] = [];
  for (const { memberships, ...outline } of found) {
    let names = named.get(memberships);
    if (!names) {
      names = (await Promise.all(memberships.map((each) => layers.names(each)))).flat();
      named.set(memberships, names);
    }
    outlines.push({ ...outline, layers: names });
  }
  return outlines;
}

/** A clip counts by its bounding box, so that a path that shows in part is kept. */
const isOutside = ({ bounds, clip }: Painted): boolean =>
  isBoxEmpty(boxOverlap(boxGrown(bounds, 1e-6, 1e-6), clip));

/** The mean of both directions, where a line is drawn wider in one direction than in the other. */
function lineWidthMm({ state }: Painted, mmPerUnit: number): Mm {
  const [x, y] = matrixReach(state.ctm);
  return (state.lineWidth * mmPerUnit * (x + y)) / 2;
}

function pointsOf(
  { from, steps }: Subpath,
  drawn: (at: PathPlace) => Point<'drawn'>,
  slack: Mm,
): Point<'drawn'>[] {
  const points = [drawn(from)];
  for (const { to, curve } of steps) {
    const last = lastOf(points);
    if (curve) points.push(...pointsAlongCurve(last, [drawn(curve[0]), drawn(curve[1])], drawn(to), slack));
    else points.push(drawn(to));
  }
  return points;
}

const isEndAtStart = (points: readonly Point[]): boolean => {
  const [first, last] = [firstOf(points), lastOf(points)];
  return Math.hypot(first.x - last.x, first.y - last.y) <= LENGTH_TOLERANCE_MM;
};

function extent(points: readonly Point[]): Mm {
  const spread = (places: readonly number[]) =>
    places.reduce((most, place) => Math.max(most, place), -Infinity) -
    places.reduce((least, place) => Math.min(least, place), Infinity);
  return Math.hypot(spread(points.map(({ x }) => x)), spread(points.map(({ y }) => y)));
}
