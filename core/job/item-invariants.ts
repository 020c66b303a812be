/** Invariants of the lines, areas and doors of a side beyond the types of their fields. */
import { decimalText } from '../measure/length-text.ts';
import { pointsHull } from '../measure/outline.ts';
import { polygonFault } from '../measure/polygon.ts';
import { itemAt } from '../measure/present.ts';
import { EDGES, edgeLengthsAll, isRectWithin, type Rect, rectExcess, rectGrown } from '../measure/rect.ts';
import type { Problem } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import { areaPoints } from './area-shape.ts';
import { doorOutline } from './door.ts';
import type { BodyLine, Door, LineShape, NoFilmArea, NoSeamArea, Side } from './schema.ts';
import { rectFromStored } from './stored-rect.ts';

/** Job files use mm, whatever unit the job displays. */
export const shown = (mm: number): string => decimalText(mm, 2);

export type ItemInvariantCode =
  | 'line-extent'
  | 'line-shape'
  | 'area-outline'
  | 'window-film'
  | 'door-gap'
  | 'door-handle';

type ItemProblem = Problem<ItemInvariantCode>;

/** The first invalid item of a side; `path` leads to the side. */
export const itemsProblem = (side: Side, outline: Rect<'finished'>, path: string): ItemProblem | undefined =>
  firstOf(side.bodyLines.entries(), ([n, line]) => bodyLineProblem(line, `${path}.bodyLines[${n}]`)) ??
  areasProblem(side, outline, path) ??
  firstOf(side.noFilmAreas.entries(), ([n, area]) => windowProblem(area, `${path}.noFilmAreas[${n}]`)) ??
  firstOf((side.doors ?? []).entries(), ([n, door]) => doorProblem(door, side, `${path}.doors[${n}]`));

function bodyLineProblem({ name, extent, shape }: BodyLine, path: string): ItemProblem | undefined {
  if (extent && extent.toMm <= extent.fromMm) {
    return {
      code: 'line-extent',
      message: `The body line “${name}” ends before it begins (${path}.extent).`,
      remedy: 'Give it an end beyond its beginning.',
    };
  }
  if (extent && shape) {
    return {
      code: 'line-shape',
      message: `The body line “${name}” has points and an extent beside them (${path}).`,
      remedy: 'Leave out the extent: a line with points begins at the first and ends at the last.',
    };
  }
  return shapeProblem(`The body line “${name}”`, shape, path);
}

function shapeProblem(what: string, shape: LineShape | undefined, path: string): ItemProblem | undefined {
  const back = shape?.findIndex(
    ({ alongMm }, at) => at > 0 && alongMm - itemAt(shape, at - 1).alongMm < LEAST_RUN_MM,
  );
  if (shape === undefined || back === undefined || back < 1) return undefined;
  return {
    code: 'line-shape',
    message: `${what} does not run on from ${shown(itemAt(shape, back - 1).alongMm)} to ${shown(itemAt(shape, back).alongMm)} mm (${path}.shape[${back}].alongMm).`,
    remedy: 'List its points in order along its direction, each beyond the one before.',
  };
}

/** How far an outline may extend past its side; farther means a wrong scale or a wrong side. */
const AROUND_SIDE_MM: Mm = 5000;
/** Tolerance between an outline and its rectangle. */
const SAME_BOX_MM: Mm = 0.01;

function areasProblem(
  { noSeamAreas, ground, noFilmAreas }: Side,
  whole: Rect<'finished'>,
  path: string,
): ItemProblem | undefined {
  const near = rectGrown(whole, edgeLengthsAll(AROUND_SIDE_MM));
  return firstOf(Object.entries({ noSeamAreas, ground, noFilmAreas }), ([list, areas]) =>
    firstOf(areas.entries(), ([n, area]) =>
      area.outline ? outlineProblem(area, near, `${path}.${list}[${n}]`) : undefined,
    ),
  );
}

function outlineProblem(area: NoSeamArea, near: Rect<'finished'>, path: string): ItemProblem | undefined {
  const points = areaPoints(area);
  const problem = (message: string, remedy: string) => ({
    code: 'area-outline' as const,
    message: `The outline of “${area.name}” (${path}.outline) ${message}`,
    remedy,
  });
  const fault = polygonFault(points);
  if (fault) {
    return problem(
      `meets itself at ${shown(fault.x)}, ${shown(fault.y)} mm.`,
      'Set its corners in order around the area, each once, so that no two of its edges cross.',
    );
  }
  const box = pointsHull(points);
  if (!isRectWithin(box, near)) {
    return problem(
      `reaches more than ${shown(AROUND_SIDE_MM / 1000)} m beyond its side.`,
      'Correct the corner that lies far from the side.',
    );
  }
  const stored = rectFromStored<'finished'>(area.rect);
  const off = rectExcess(box, stored);
  const under = rectExcess(stored, box);
  if (EDGES.every((edge) => off[edge] <= SAME_BOX_MM && under[edge] <= SAME_BOX_MM)) return undefined;
  return problem(
    'does not fill the rectangle beside it.',
    `Set rect to xMm ${shown(box.x)}, yMm ${shown(box.y)}, widthMm ${shown(box.width)}, heightMm ${shown(box.height)}.`,
  );
}

function windowProblem({ kind, name, windowFilm }: NoFilmArea, path: string): ItemProblem | undefined {
  if (!windowFilm || kind === 'window') return undefined;
  return {
    code: 'window-film',
    message: `“${name}” is no window (${path}.kind is ${kind}), but is to be printed on perforated film.`,
    remedy: 'Make it a window, or leave out `windowFilm`.',
  };
}

function doorProblem(door: Door, side: Side, path: string): ItemProblem | undefined {
  const { name, gap, handle } = door;
  const shape = firstOf(EDGES, (edge) =>
    shapeProblem(`The ${edge} edge of the door “${name}”`, gap[edge].shape, `${path}.gap.${edge}`),
  );
  if (shape) return shape;
  if (!doorOutline(door)) {
    return {
      code: 'door-gap',
      message: `The edges of the door “${name}” do not meet at four corners (${path}.gap).`,
      remedy:
        'Let its top lie above its bottom and its left edge left of its right one, each meeting its neighbors once.',
    };
  }
  if (handle === undefined || side.noFilmAreas.some(({ id }) => id === handle)) return undefined;
  return {
    code: 'door-handle',
    message: `The handle “${handle}” of the door “${name}” (${path}.handle) is no no-film area of its side.`,
    remedy: 'Name a no-film area of the side, or leave out `handle`.',
  };
}

/** Two points of a line nearer than this along it count as one. */
const LEAST_RUN_MM = 0.01;

export function firstOf<T, P>(items: Iterable<T>, check: (item: T) => P | undefined): P | undefined {
  for (const item of items) {
    const problem = check(item);
    if (problem) return problem;
  }
  return undefined;
}
