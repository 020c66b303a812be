import type { Lettering } from '../../core/lettering/lettering.ts';
import { pathExtent } from '../../core/measure/path.ts';
import { edgeLengthsAll } from '../../core/measure/rect.ts';
import type {
  FilmRoll,
  LapPolicy,
  PlanArea,
  PlanLine,
  PlanSide,
  ShapedLine,
} from '../../core/seams/plan-side.ts';
import { type PlanTree, sideFrame, treeParts } from '../../core/seams/plan-tree.ts';
import { ESTIMATED_COST_CARD } from '../../core/shop/cost-card.ts';

/** 60 in and 54 in film (1,524 and 1,371.6 mm by the definition of the inch) with 10 mm a side that the printer leaves free. */
export const ROLL_60: FilmRoll = { name: '60 in', width: 1524, sideMargin: 10, longest: 30_000 };
export const ROLL_54: FilmRoll = { name: '54 in', width: 1371.6, sideMargin: 9.8, longest: 30_000 };

/** Common practice, no source: 25 mm on bodies, 90 mm where installers shift and trim on site. */
export const BODY_LAP: LapPolicy = { name: 'body', under: 25, over: 0 };
export const SHIFT_LAP: LapPolicy = { name: 'shift', under: 25, over: 65 };

/** A bare side with the built-in card; a test gives what it is about. */
export function planSide(given: Partial<PlanSide> & Pick<PlanSide, 'width' | 'height'>): PlanSide {
  return {
    front: 'right',
    lines: [],
    shapedLines: [],
    noSeamAreas: [],
    lettering: [],
    spaces: [],
    ground: [],
    noFilmAreas: [],
    bleed: edgeLengthsAll(50),
    border: 20,
    rolls: [ROLL_60],
    laps: [BODY_LAP],
    gapAllowance: 15,
    rivetClearance: 19.05,
    minPanel: 150,
    card: ESTIMATED_COST_CARD,
    isLaminated: true,
    locked: [],
    ...given,
  };
}

export const bodyLine = (
  given: Partial<PlanLine> & Pick<PlanLine, 'kind' | 'axis' | 'at' | 'to'>,
): PlanLine => ({ id: `${given.kind} at ${given.at}`, from: 0, width: 1, ...given });

/** A line with shape over the whole of its path. */
export function shapedLine(
  given: Pick<ShapedLine, 'id' | 'kind' | 'axis' | 'path'> & Partial<ShapedLine>,
): ShapedLine {
  const at = given.path[0]!.across;
  const { start, end } = pathExtent(given.path);
  const shape = given.path.map(({ along, across }) => ({ alongMm: along, offMm: across - at }));
  return { at, from: start, to: end, shape, ...given };
}

export const area = (id: string, x: number, y: number, width: number, height: number): PlanArea => ({
  id,
  rect: { x, y, width, height },
});

/** A line of lettering of one word, as high as its capitals. */
export const lettering = (id: string, x: number, y: number, width: number, height: number): Lettering => ({
  ...area(id, x, y, width, height),
  words: [{ x, y, width, height }],
  strokes: [],
  capHeightMm: height,
  isSure: true,
});

/** A tree in short: the axis and places of each run, nested. */
export function treeBrief(tree: PlanTree): string {
  if (tree.kind === 'panel') return '□';
  const inner = tree.parts.map(treeBrief);
  const parts = inner.every((part) => part === '□') ? '' : ` [${inner.join(' ')}]`;
  return `${tree.axis[0]} ${tree.joints.map(({ at }) => Math.round(at * 10) / 10).join(' ')}${parts}`;
}

export const treeSeams = (side: PlanSide, tree: PlanTree) => treeParts(tree, sideFrame(side)).seams;
