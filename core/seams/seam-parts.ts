import { z } from 'zod';
import type { Lettering } from '../lettering/lettering.ts';
import { letteringCrossings } from '../lettering/lettering-crossing.ts';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { pathLength, pathPartsWithin, pathsApart } from '../measure/path.ts';
import { firstOf, itemAt, lastOf } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type CostCard, laborCost } from '../shop/cost-card.ts';
import { areaStretches } from './area-meeting.ts';
import {
  HIDING_KINDS,
  type HidingKind,
  type JointShape,
  jointTrims,
  type PlanArea,
  type PlanLine,
  type PlanSide,
  type ShapedLine,
  sideAcross,
} from './plan-side.ts';
import type { SeamAxis, SeamPlace } from './seam-place.ts';

/** Meters on each kind of ground. */
export const GroundMeters = z.strictObject({
  flat: z.number(),
  curve: z.number(),
  recess: z.number(),
  /** Over a no-film area, where no film is installed. */
  open: z.number(),
});
export type GroundMeters = z.infer<typeof GroundMeters>;

/** What a seam crosses along its way, before pricing. All lengths in meters. */
export interface SeamParts {
  readonly ground: GroundMeters;
  /** Meters on a line that hides the seam, by kind of line; no meter counts twice. */
  readonly online: Readonly<Record<HidingKind, number>>;
  /** Lines of lettering that it cuts. */
  readonly lettering: number;
  /** Cost of cutting them, as an equivalent number of cuts through small capitals: less for higher letters. */
  readonly letteringCuts: number;
  readonly busy: number;
}

/** What a seam costs, in the units that plans are compared by. */
export interface SeamCost {
  readonly installMinutes: number;
  /** The part of `minutes` for matching picture and lettering. */
  readonly matchingMinutes: number;
  /** Time to cut along trimmed edges; the fixed time per edge is counted with the panel. */
  readonly shopMinutes: number;
  /** Meters in full view. */
  readonly visibleMeters: number;
  /** Lines of lettering that it cuts. */
  readonly letteringLines: number;
}

const NONE: readonly Interval[] = [];
const NO_METERS: Readonly<Record<HidingKind, number>> = { crease: 0, molding: 0, 'body-gap': 0 };

/** Half the width of a line: the greatest distance at which a seam is still on it. */
export const lineReach = (line: PlanLine): Mm => line.width / 2 + LENGTH_TOLERANCE_MM;

const isOnLine = (line: PlanLine, axis: SeamAxis, at: Mm): boolean =>
  line.axis === axis && Math.abs(line.at - at) <= lineReach(line);

/**
 * Divides a seam into stretches, a new one at every change of ground or line. A no-film area overrides a recess, and a
 * recess overrides a curve; among lines on top of each other, the one that hides best counts. `busy` stays 0, because
 * the picture is read from arrays (picture-energy). Keeps SP1.
 */
export function seamParts(side: PlanSide, place: SeamPlace): SeamParts {
  const { axis, at, from, to, path } = place;
  const span = { start: from, end: to };
  // Plain loops: this runs at each change along a side, mostly for areas and lines elsewhere.
  const crossed = <T extends PlanArea>(areas: readonly T[]) => {
    const found: (Interval & { readonly area: T })[] = [];
    for (const area of areas) {
      for (const { start, end } of areaStretches(place, area)) found.push({ area, start, end });
    }
    return found;
  };

  const noFilmAreas = crossed(side.noFilmAreas);
  const hard = crossed(side.ground);
  const lines: (Interval & Pick<PlanLine, 'kind'>)[] = [];
  for (const line of path ? [...side.lines, ...side.shapedLines] : side.lines) {
    for (const { start, end } of stretchesOnLine(place, line)) lines.push({ kind: line.kind, start, end });
  }

  const ground = { flat: 0, curve: 0, recess: 0, open: 0 };
  const online = { ...NO_METERS };
  const stops = [from, to];
  for (const { start, end } of [...noFilmAreas, ...hard, ...lines]) stops.push(start, end);
  const inside = stops.filter((stop) => stop >= from && stop <= to).sort((a, b) => a - b);
  for (let i = 1; i < inside.length; i++) {
    const [start, end] = [itemAt(inside, i - 1), itemAt(inside, i)];
    if (end <= start) continue;
    const meters = (path ? pathLength(path, { start, end }) : end - start) / 1000;
    const middle = (start + end) / 2;
    const covers = (a: { start: Mm; end: Mm }) => a.start < middle && middle < a.end;
    if (noFilmAreas.some(covers)) {
      ground.open += meters;
      continue;
    }
    const kinds = hard.filter(covers).map(({ area }) => area.kind);
    ground[kinds.includes('recess') ? 'recess' : kinds.includes('curve') ? 'curve' : 'flat'] += meters;
    const best = bestHidingKind(lines.filter(covers), side.card);
    if (best) online[best] += meters;
  }
  const cut = letteringCrossings(side.lettering, { direction: axis, at, span, ...(path && { path }) });
  const letteringCuts = cut.reduce(
    (sum, { lettering, costShare }) => sum + costShare * lettersCut(lettering, place),
    0,
  );
  return { ground, online, lettering: cut.length, letteringCuts, busy: 0 };
}

/** The stretches of a seam that lie on a line. */
export function stretchesOnLine(place: SeamPlace, line: PlanLine | ShapedLine): readonly Interval[] {
  const { axis, at, from, to, path } = place;
  if (line.axis !== axis || (!path && !('width' in line && isOnLine(line, axis, at)))) return NONE;
  const shared = intervalIntersection({ start: line.from, end: line.to }, { start: from, end: to });
  if (!shared) return [];
  if (!path) return [shared];
  const reach = 'width' in line ? lineReach(line) : LENGTH_TOLERANCE_MM;
  const apart = pathsApart(path, 'path' in line ? line.path : [{ along: 0, across: line.at }], shared);
  return pathPartsWithin(apart, shared, { start: -reach, end: reach }).map((part) => ({
    start: firstOf(part).along,
    end: lastOf(part).along,
  }));
}

/**
 * A vertical seam cuts one letter of a line. A seam along the line cuts every letter it runs through, and each must be
 * matched.
 */
function lettersCut({ words, capHeightMm }: Lettering, place: SeamPlace): number {
  if (place.axis === 'vertical') return 1;
  const through = words
    .flatMap((rect) => areaStretches(place, { rect }))
    .reduce((sum, { start, end }) => sum + end - start, 0);
  return Math.max(1, through / capHeightMm);
}

/** Prices a seam by the cost card. Work saved by ending panels on a line is subtracted, so minutes may be negative. */
export function seamCost(
  { card, border }: Pick<PlanSide, 'card' | 'border'>,
  joint: JointShape,
  parts: SeamParts,
): SeamCost {
  const { ground, online } = parts;
  const laid = ground.flat + ground.curve + ground.recess;
  const rate = card.seamMinutesPerMeter;
  const isGap = joint.kind === 'gap';
  const laying = isGap
    ? laid * rate.gap
    : ground.flat * rate.flat + ground.curve * rate.curve + ground.recess * rate.recess;
  const spare = joint.top === 'first' ? joint.first : joint.second;
  const siteTrim = joint.kind === 'lap' && spare > 0 ? laid * card.siteTrimMinutesPerMeter : 0;
  const trims = jointTrims(joint, border);

  let hidden = 0;
  let saved = 0;
  for (const kind of HIDING_KINDS) {
    hidden += online[kind] * card.hidingShare[kind];
    saved += online[kind] * card.crossingMinutesPerMeter[kind];
  }
  const matching =
    parts.busy * card.pictureMinutesPerMeter + parts.letteringCuts * card.letteringMinutesPerCrossing;
  return {
    installMinutes: laying + siteTrim + matching - saved,
    matchingMinutes: matching,
    shopMinutes: (trims.first + trims.second) * laid * card.shopTrimMinutesPerMeter,
    visibleMeters: Math.max(0, laid - hidden),
    letteringLines: parts.lettering,
  };
}

/** Cost of a seam in money: labor on the vehicle and in the shop, and the visible-seam penalty. */
export const seamMoney = (card: CostCard, cost: SeamCost): number =>
  laborCost(card, cost.installMinutes + cost.shopMinutes) + cost.visibleMeters * card.visibleSeamPerMeter;

/**
 * The line-crossing minutes included in every plan, as if no seam were on any line. Over a no-film area there is no
 * film to bring across a line.
 */
export function crossingMinutes(side: PlanSide): number {
  const shaped = new Set(side.shapedLines.map(({ id }) => id));
  const lines: readonly (PlanLine | ShapedLine)[] = [
    ...side.lines.filter(({ id }) => !shaped.has(id)),
    ...side.shapedLines,
  ];
  return lines.reduce((sum, line) => {
    const { axis, at, from, to, kind } = line;
    const place = {
      axis,
      at,
      from: Math.max(0, from),
      to: Math.min(to, sideAcross(side, axis)),
      ...('path' in line && { path: line.path }),
    };
    if (place.to <= place.from) return sum;
    const { flat, curve, recess } = seamParts(side, place).ground;
    return sum + (flat + curve + recess) * side.card.crossingMinutesPerMeter[kind];
  }, 0);
}

function bestHidingKind(lines: readonly Pick<PlanLine, 'kind'>[], card: CostCard): HidingKind | undefined {
  let best: HidingKind | undefined;
  for (const { kind } of lines) {
    if (kind === 'rivet-row') continue;
    if (best === undefined || card.hidingShare[kind] > card.hidingShare[best]) best = kind;
  }
  return best;
}
