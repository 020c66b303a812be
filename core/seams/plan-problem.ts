import { decimalText } from '../measure/length-text.ts';
import { EDGES } from '../measure/rect.ts';
import { type FilmRoll, type PlanArea, type PlanSide, rollUsableWidth } from './plan-side.ts';
import { isFrameOpen, sideFrame } from './plan-tree.ts';

/** Why a side cannot be planned as entered: one sentence on the problem and its place, one on what to do. */
export interface PlanProblem {
  readonly code: 'bad-length' | 'no-film' | 'no-lap' | 'film-too-narrow' | 'all-open' | 'too-many-lines';
  readonly message: string;
  readonly remedy: string;
}

const shown = (mm: number): string => (Number.isFinite(mm) ? decimalText(mm, 1) : String(mm));

const LONGEST_SIDE_MM = 100_000;
/** The search time grows with the square of the lines in each direction; more lines than this would take minutes. */
export const MOST_LINES_EACH_WAY = 40;

/** The first problem of a side, undefined where there is none. */
export function planProblem(side: PlanSide): PlanProblem | undefined {
  for (const [name, value] of [
    ['width', side.width],
    ['height', side.height],
  ] as const) {
    if (!(value >= 1 && value <= LONGEST_SIDE_MM)) {
      return badLength(`The side's ${name} is ${shown(value)} mm`, `Enter a ${name} from 1 mm to 100 m.`);
    }
  }
  for (const { name, value } of namedLengths(side)) {
    if (!(value >= 0 && value <= LONGEST_SIDE_MM)) {
      return badLength(`The ${name} is ${shown(value)} mm`, 'Enter a length from 0 mm to 100 m.');
    }
  }
  for (const { name, values } of namedPlaces(side)) {
    if (!values.every(Number.isFinite)) {
      return badLength(`The ${name} has a place that is not a number`, `Enter the ${name} again.`);
    }
  }
  if (side.rolls.length === 0) {
    return {
      code: 'no-film',
      message: 'No film is given to plan with.',
      remedy: 'Enter at least one roll width.',
    };
  }
  if (side.laps.length === 0) {
    return {
      code: 'no-lap',
      message: 'No overlap is given to plan with.',
      remedy: 'Enter at least one overlap.',
    };
  }
  const narrow = allRolls(side).find((roll) => rollUsableWidth(roll) - 2 * side.border <= 0);
  if (narrow) {
    return {
      code: 'film-too-narrow',
      message: `The film '${narrow.name}' has no width left to print on after its margins and the border.`,
      remedy: 'Check the film width, its side margins and the border.',
    };
  }
  if (isFrameOpen(side, sideFrame(side))) {
    return {
      code: 'all-open',
      message: 'A no-film area covers the whole side, so there is no surface to install film on.',
      remedy: 'Correct the no-film area.',
    };
  }
  for (const axis of ['vertical', 'horizontal'] as const) {
    // A rivet row with shape consists of many pieces and counts once.
    const own = side.lines.filter((line) => line.axis === axis);
    const rows = new Set(own.filter(({ kind }) => kind === 'rivet-row').map(({ id }) => id));
    const count =
      own.filter(({ kind }) => kind !== 'rivet-row').length +
      rows.size +
      side.shapedLines.filter((line) => line.axis === axis && line.kind !== 'rivet-row').length +
      side.locked.filter((seam) => seam.axis === axis).length;
    if (count > MOST_LINES_EACH_WAY) {
      return {
        code: 'too-many-lines',
        message: `The side has ${count} ${axis} body lines and locked seams; ${MOST_LINES_EACH_WAY} are the most that a suggestion can use.`,
        remedy: 'Keep the lines where a seam could hide and leave out the rest.',
      };
    }
  }
  return undefined;
}

const allRolls = ({ rolls, filmZones = [] }: PlanSide): readonly FilmRoll[] => [
  ...rolls,
  ...new Set(filmZones.flatMap(({ film }) => film?.roll ?? [])),
];

const badLength = (message: string, remedy: string): PlanProblem => ({
  code: 'bad-length',
  message: `${message}, which is not a length to plan with.`,
  remedy,
});

function namedLengths(side: PlanSide): { name: string; value: number }[] {
  const ofRoll = (roll: FilmRoll) => [
    { name: `width of film '${roll.name}'`, value: roll.width },
    { name: `side margin of film '${roll.name}'`, value: roll.sideMargin },
    { name: `longest print on film '${roll.name}'`, value: roll.longest },
  ];
  return [
    ...EDGES.map((edge) => ({ name: `bleed at the ${edge}`, value: side.bleed[edge] })),
    { name: 'border', value: side.border },
    ...(side.longestPanel === undefined ? [] : [{ name: 'longest panel', value: side.longestPanel }]),
    { name: 'rivet clearance', value: side.rivetClearance },
    { name: 'extension past a body gap', value: side.gapAllowance },
    { name: 'smallest panel', value: side.minPanel },
    ...allRolls(side).flatMap(ofRoll),
    ...side.laps.flatMap((lap) => [
      { name: `under part of lap '${lap.name}'`, value: lap.under },
      { name: `over part of lap '${lap.name}'`, value: lap.over },
    ]),
    ...side.lines.map((line) => ({ name: `width of body line '${line.id}'`, value: line.width })),
    ...side.noFilmAreas.map((noFilmArea) => ({
      name: `margin of no-film area '${noFilmArea.id}'`,
      value: noFilmArea.margin,
    })),
  ];
}

function namedPlaces(side: PlanSide): { name: string; values: number[] }[] {
  const areas: readonly (PlanArea & { readonly kind: string })[] = [
    ...side.noSeamAreas.map((area) => ({ ...area, kind: 'no-seam area' })),
    ...side.lettering.map((area) => ({ ...area, kind: 'lettering' })),
    ...side.ground.map((area) => ({ ...area, kind: 'difficult ground' })),
    ...side.noFilmAreas.map((area) => ({ ...area, kind: 'no-film area' })),
  ];
  return [
    ...side.lines.map((line) => ({ name: `body line '${line.id}'`, values: [line.at, line.from, line.to] })),
    ...side.shapedLines.map(({ id, path }) => ({
      name: `body line '${id}'`,
      values: path.flatMap(({ along, across }) => [along, across]),
    })),
    ...side.spaces.map(({ at }) => ({ name: 'space', values: [at] })),
    ...side.locked.map((seam) => ({ name: 'locked seam', values: [seam.at, seam.from, seam.to] })),
    ...areas.map(({ kind, id, rect, outline = [] }) => ({
      name: `${kind} '${id}'`,
      values: [rect.x, rect.y, rect.width, rect.height, ...outline.flatMap(({ x, y }) => [x, y])],
    })),
  ];
}
