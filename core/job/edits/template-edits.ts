/** The template of a side, and lines and areas traced from it. */
import { pointsSimplified } from '../../measure/flat-curve.ts';
import { pathsFromPoints } from '../../measure/path.ts';
import { polygonFault } from '../../measure/polygon.ts';
import { itemAround } from '../../measure/present.ts';
import type { Point } from '../../measure/rect.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { areaFromPoints } from '../area-shape.ts';
import { lineFromDrawn } from '../body-line.ts';
import { doorGapFromPoints, doorNew } from '../door.ts';
import type { IdPrefix } from '../fresh-id.ts';
import { jobAllowances } from '../joint-default.ts';
import type { BodyLineKind, Job, NoFilmKind, SideTemplate } from '../schema.ts';
import { type EditResult, editProblem, sideEdited } from './edit.ts';

/** Puts a template under the lines of a side, replacing an existing one, or removes it (`null`). */
export function sideTemplateSet(
  job: Job,
  { sideId, template }: { readonly sideId: string; readonly template: SideTemplate | null },
): EditResult {
  return sideEdited(job, sideId, ({ side }) => {
    const { template: _, ...rest } = side;
    return resultOk(template ? { ...rest, template } : rest);
  });
}

/** A path of a template at its place on the side; a closed one does not repeat its first point. */
export interface TracedOutline {
  readonly points: readonly Point<'finished'>[];
  readonly isClosed: boolean;
}

export type TracedAs =
  | { readonly kind: 'body-line'; readonly lineKind: BodyLineKind }
  | { readonly kind: 'door' }
  | { readonly kind: 'no-film-area'; readonly noFilmKind: NoFilmKind }
  | { readonly kind: 'no-seam-area' };

/** Points this near to the lines between other points are dropped. */
const SIMPLE_MM: Mm = 1;

interface Traced {
  readonly sideId: string;
  readonly outlines: readonly TracedOutline[];
  readonly as: TracedAs;
}

/**
 * Adds the paths of a template to the side: as body lines, divided where they turn back, or closed ones as doors or
 * areas. For doors and areas, paths that are open or cross themselves are skipped.
 */
export function outlinesTrace(job: Job, { sideId, outlines, as }: Traced): EditResult {
  return sideEdited(job, sideId, ({ side, fresh }) => {
    const { bodyLines, doors = [], noFilmAreas, noSeamAreas } = side;
    const named = (prefix: IdPrefix, name: string, have: readonly unknown[], index: number) => ({
      id: fresh(prefix),
      name: `${name} ${have.length + index + 1}`,
    });
    if (as.kind === 'body-line') {
      const drawn = outlines.flatMap((outline) => pathsFromPoints(outlinePoints(outline)));
      if (drawn.length === 0) return noLine;
      const added = drawn.map((each, index) => ({
        ...named('b', 'Body line', bodyLines, index),
        kind: as.lineKind,
        ...lineFromDrawn(each),
      }));
      return resultOk({ ...side, bodyLines: [...bodyLines, ...added] });
    }
    const corners = outlines
      .filter(({ isClosed }) => isClosed)
      .map((outline) => outlinePoints(outline).slice(0, -1))
      .filter((points) => points.length >= 3 && !polygonFault(points));
    if (corners.length === 0) return noArea;
    if (as.kind === 'door') {
      const added = corners.map((points, index) => ({
        ...doorNew(doorGapFromPoints(points), side),
        ...named('d', 'Door', doors, index),
      }));
      return resultOk({ ...side, doors: [...doors, ...added] });
    }
    const areas = (prefix: IdPrefix, name: string, have: readonly unknown[]) =>
      corners.map((points, index) => ({ ...named(prefix, name, have, index), ...areaFromPoints(points) }));
    if (as.kind === 'no-seam-area') {
      return resultOk({ ...side, noSeamAreas: [...noSeamAreas, ...areas('k', 'No-seam area', noSeamAreas)] });
    }
    const { clearanceMm } = jobAllowances(job);
    const added = areas('o', 'No-film area', noFilmAreas).map((area) => ({
      ...area,
      kind: as.noFilmKind,
      clearanceMm,
    }));
    return resultOk({ ...side, noFilmAreas: [...noFilmAreas, ...added] });
  });
}

/**
 * The essential points of a path. A closed path begins and ends where it turns from horizontal to vertical, so that
 * none of its edges is divided.
 */
function outlinePoints({ points, isClosed }: TracedOutline): readonly Point<'finished'>[] {
  if (!isClosed) return pointsSimplified(points, SIMPLE_MM);
  const isAlong = (index: number) => {
    const [from, to] = [itemAround(points, index), itemAround(points, index + 1)];
    return Math.abs(to.x - from.x) >= Math.abs(to.y - from.y);
  };
  const turn = Math.max(
    0,
    points.findIndex((_, index) => isAlong(index) !== isAlong(index - 1)),
  );
  const turned = [...points.slice(turn), ...points.slice(0, turn + 1)];
  return pointsSimplified(turned, SIMPLE_MM);
}

const noLine = editProblem(
  'line-too-short',
  'No part of the path is 50 mm (2 in) long or more, so it makes no body line.',
  'Select a longer path, or line the template up at the size of the vehicle.',
);

const noArea = editProblem(
  'area-open',
  'No path here is closed without crossing itself, so none bounds an area.',
  'Trace its stretches as body lines, or draw the area.',
);
