import { rollLength } from '../../core/seams/film-fit.ts';
import { planUnits } from '../../core/seams/plan-figures.ts';
import { limitsBroken, seamLimitsBroken } from '../../core/seams/plan-limits.ts';
import { type PlanWeights, panelRates } from '../../core/seams/plan-objective.ts';
import { jointFromGap, jointFromLap, type PlanSide, type PlanStock } from '../../core/seams/plan-side.ts';
import {
  frameCut,
  frameFilm,
  frameSeam,
  PANEL,
  type PlanFrame,
  type PlanJoint,
  type PlanTree,
  sideFrame,
} from '../../core/seams/plan-tree.ts';
import { isGapAlong } from '../../core/seams/seam-limits.ts';
import type { SeamAxis } from '../../core/seams/seam-place.ts';
import { seamUnitsAt } from '../../core/seams/seam-units.ts';

/**
 * Every plain sequence of an axis, written down one after the other: every set of seam places, as laps, and as breaks on
 * gaps and as they are on locked seams. No recurrence, no window, no table; only for sides of a few dozen millimeters.
 */
export function everySequence(side: PlanSide, stock: PlanStock, axis: SeamAxis): PlanTree[] {
  const [start, end] = [0, axis === 'vertical' ? side.width : side.height];
  const places = seamPlaces(side, axis, start, end);
  const sequences: PlanTree[] = [PANEL];
  const grow = (joints: readonly PlanJoint[], next: number): void => {
    if (joints.length > 0)
      sequences.push({ kind: 'split', axis, joints, parts: [PANEL, ...joints.map(() => PANEL)] });
    for (let i = next; i < places.length; i++) {
      const at = places[i]!;
      // The one shortcut: a panel under the smallest size is never mended by what comes after it, but in a no-film area.
      const before = joints.at(-1)?.at ?? start;
      if (at - before < side.minPanel && !isOpenAcross(side, axis, before, at)) continue;
      for (const joint of jointsAt(side, stock, axis, at)) grow([...joints, { ...joint, at }], i + 1);
    }
  };
  grow([], 0);
  return sequences;
}

/** The least objective over every plain sequence that keeps all limits, each judged as a whole. */
export function leastSequenceUnits(
  side: PlanSide,
  stock: PlanStock,
  axis: SeamAxis,
  weights: PlanWeights,
): number | undefined {
  const units = everySequence(side, stock, axis)
    .filter((tree) => limitsBroken(side, stock, tree).length === 0)
    .map((tree) => planUnits(side, stock, weights, tree)!);
  return units.length > 0 ? Math.min(...units) : undefined;
}

/**
 * The least objective over mixed sections: at every cut both parts are tried in every way, again and again, to the
 * bottom; leaves are a panel or every set of seam places of either direction. Infinity where nothing keeps the limits.
 */
export function leastMixedUnits(side: PlanSide, stock: PlanStock, weights: PlanWeights): number {
  const rates = panelRates(side.card, weights, stock);

  const panelUnits = (frame: PlanFrame): number => {
    const { left, top, right, bottom, trimLeft, trimTop, trimRight, trimBottom } = frame;
    const isOpen = side.noFilmAreas.some(
      ({ rect: { x, y, width, height } }) =>
        x <= left && y <= top && x + width >= right && y + height >= bottom,
    );
    if (isOpen) return 0;
    const film = frameFilm(frame);
    const length = rollLength(side, stock.roll, film.width, film.height);
    const isSmall = Math.min(right - left, bottom - top) < side.minPanel;
    if (length === undefined || isSmall) return Infinity;
    const trims = trimLeft + trimTop + trimRight + trimBottom;
    const { twoPeopleFromMeters, threePeopleFromMeters } = side.card;
    const meters = Math.max(film.width, film.height) / 1000;
    const people =
      1 + (meters > twoPeopleFromMeters + 1e-6 ? 1 : 0) + (meters > threePeopleFromMeters + 1e-6 ? 1 : 0);
    const handling = people * rates.perPersonMm * (film.width + film.height);
    return rates.perPanel + rates.perRollMm * length + handling + rates.perTrim * trims;
  };
  const seamUnits = (frame: PlanFrame, axis: SeamAxis, joint: PlanJoint): number => {
    const place = frameSeam(frame, axis, joint);
    if (seamLimitsBroken(side, { place, joint }).length > 0) return Infinity;
    return seamUnitsAt(side, weights, place, joint);
  };
  const isFree = (frame: PlanFrame): boolean =>
    !side.locked.some(({ axis, at, from, to }) =>
      axis === 'vertical'
        ? at > frame.left && at < frame.right && from < frame.bottom && to > frame.top
        : at > frame.top && at < frame.bottom && from < frame.right && to > frame.left,
    );

  const leastOfSequences = (frame: PlanFrame, axis: SeamAxis, lap: PlanJoint): number => {
    const [start, end] = axis === 'vertical' ? [frame.left, frame.right] : [frame.top, frame.bottom];
    let least = Infinity;
    for (const at of seamPlaces(side, axis, start, end)) {
      const joint = { ...lap, at };
      const seam = seamUnits(frame, axis, joint);
      const [before, after] = frameCut(frame, axis, joint);
      const head = seam + panelUnits(before);
      if (head === Infinity) continue;
      least = Math.min(least, head + Math.min(panelUnits(after), leastOfSequences(after, axis, lap)));
    }
    return least;
  };

  const leastOf = (frame: PlanFrame): number => {
    let least = Infinity;
    if (isFree(frame)) {
      least = panelUnits(frame);
      for (const axis of ['vertical', 'horizontal'] as const) {
        const lap = { ...jointFromLap(stock.lap, axis, side.front), at: 0 };
        least = Math.min(least, leastOfSequences(frame, axis, lap));
      }
    }
    for (const axis of ['vertical', 'horizontal'] as const) {
      const [start, end] = axis === 'vertical' ? [frame.left, frame.right] : [frame.top, frame.bottom];
      for (const at of sectionPlaces(side, axis).filter((place) => place > start && place < end)) {
        for (const shape of jointsAt(side, stock, axis, at)) {
          const joint = { ...shape, at };
          const seam = seamUnits(frame, axis, joint);
          if (seam === Infinity) continue;
          const [before, after] = frameCut(frame, axis, joint);
          least = Math.min(least, seam + leastOf(before) + leastOf(after));
        }
      }
    }
    return least;
  };
  return leastOf(sideFrame(side));
}

/** Whether a no-film area holds all of a sequence's panel between two places. */
const isOpenAcross = (side: PlanSide, axis: SeamAxis, start: number, end: number): boolean =>
  side.noFilmAreas.some(({ rect: { x, y, width, height } }) =>
    axis === 'vertical'
      ? y <= 0 && y + height >= side.height && x <= start && x + width >= end
      : x <= 0 && x + width >= side.width && y <= start && y + height >= end,
  );

function seamPlaces(side: PlanSide, axis: SeamAxis, start: number, end: number): number[] {
  const whole = Array.from({ length: Math.ceil(end) }, (_, i) => i);
  return [...new Set([...whole, ...linePlaces(side, axis)])]
    .filter((at) => at > start && at < end)
    .sort((a, b) => a - b);
}

const linePlaces = (side: PlanSide, axis: SeamAxis): number[] => [
  ...new Set([...side.lines, ...side.locked].filter((item) => item.axis === axis).map(({ at }) => at)),
];

/** Where sections may be parted: rivet rows part nothing. */
const sectionPlaces = (side: PlanSide, axis: SeamAxis): number[] => [
  ...new Set(
    [...side.lines.filter(({ kind }) => kind !== 'rivet-row'), ...side.locked, ...side.spaces]
      .filter((item) => item.axis === axis)
      .map(({ at }) => at),
  ),
];

/** A gap is a break; a locked seam keeps its joint, or is a break where the gap runs along all of it; all else is a lap. */
function jointsAt(side: PlanSide, stock: PlanStock, axis: SeamAxis, at: number) {
  const locked = side.locked.find((seam) => seam.axis === axis && seam.at === at);
  if (locked?.joint) return [locked.joint];
  const isGap = side.lines.some(
    (line) =>
      line.axis === axis &&
      line.at === at &&
      line.kind === 'body-gap' &&
      (!locked || isGapAlong(side, line, locked.from, locked.to)),
  );
  return [isGap ? jointFromGap(side, axis) : jointFromLap(stock.lap, axis, side.front)];
}
