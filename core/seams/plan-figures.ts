import { z } from 'zod';
import { itemAt } from '../measure/present.ts';
import { mmSchema } from '../measure/schemas.ts';
import type { Mm } from '../measure/units.ts';
import { laborCost } from '../shop/cost-card.ts';
import { panelFilmUnits, rollLength } from './film-fit.ts';
import { FilmRates, filmAt, rollOf } from './film-zones.ts';
import { type PlanWeights, UNITS_PER_MONEY } from './plan-objective.ts';
import { HIDING_KINDS, HidingKind, type PlanSide, type PlanStock, type ZoneFilm } from './plan-side.ts';
import {
  frameFilm,
  frameNet,
  frameTrims,
  isFrameOpen,
  type PlanTree,
  sideFrame,
  treeParts,
} from './plan-tree.ts';
import { GroundMeters } from './seam-parts.ts';
import { seamUnitsAt } from './seam-units.ts';
import { type SeamFigures, seamFigures, sideInstall } from './side-install.ts';
import { isMovedSeam } from './slice-costs.ts';

/** What plans are compared by. Every figure but the counts is an estimate by the cost card. */
export const PlanFigures = z.strictObject({
  /** Printed panels; a panel wholly within a no-film area is not printed. */
  panels: z.number(),
  seams: z.number(),
  seamMeters: GroundMeters,
  onlineMeters: z.record(HidingKind, z.number()),
  visibleMeters: z.number(),
  letteringCrossed: z.number(),
  /** Number of people needed for its largest panel. */
  people: z.number().int(),
  /** Longest film of its panels, border included. */
  longestFilm: mmSchema,
  /** Edges of panels that are trimmed in the shop, as the ticket lists them. */
  shopTrims: z.number(),
  /** Roll width × length charged (film-fit). Laminate, if used, is taken to have the same width and length. */
  filmSquareMeters: z.number(),
  laminateSquareMeters: z.number(),
  /**
   * 1 − panel area ÷ (roll width × used length): the share of the used film that no panel covers. Panel area includes
   * bleed, laps and border.
   */
  wasteShare: z.number(),
  /** Sum over all people, without matching picture and lettering. */
  installMinutes: z.number(),
  /** Matching picture and lettering across seams. */
  matchingMinutes: z.number(),
  shopMinutes: z.number(),
  filmMoney: z.number(),
  laminateMoney: z.number(),
  laborMoney: z.number(),
  /** Film, laminate and labor. */
  money: z.number(),
  /** Seams that the earlier plan does not have; 0 without an earlier plan. */
  movedSeams: z.number(),
  /** The visible-seam penalty; it is not a cash cost. */
  visibleWorth: z.number(),
});
export type PlanFigures = z.infer<typeof PlanFigures>;

/** Computes the figures of a plan. Panels that do not fit the roll count with the length they would take along it. */
export function planFigures(side: PlanSide, stock: PlanStock, tree: PlanTree): PlanFigures {
  const { card } = side;
  const { panels: all, seams } = treeParts(tree, sideFrame(side));
  const panels = all.filter(({ frame }) => !isFrameOpen(side, frame));
  const alongOn = new Map<ZoneFilm | undefined, Mm>();
  let panelSquareMm = 0;
  let shopTrims = 0;
  for (const { frame } of panels) {
    const film = frameFilm(frame);
    const zone = filmAt(side, frameNet(frame));
    const roll = rollOf(stock, zone);
    const alongMm = rollLength(side, roll, film.width, film.height) ?? Math.max(film.width, film.height);
    alongOn.set(zone, (alongOn.get(zone) ?? 0) + alongMm);
    panelSquareMm += film.width * film.height;
    shopTrims += frameTrims(frame);
  }
  let [rollMm, filmSquareMeters, laminateSquareMeters, filmMoney, laminateMoney] = [0, 0, 0, 0, 0];
  for (const [zone, alongMm] of alongOn) {
    const squareMeters = (alongMm * rollOf(stock, zone).width) / 1e6;
    const laminated = (zone ?? side).isLaminated ? squareMeters : 0;
    rollMm += alongMm;
    filmSquareMeters += squareMeters;
    laminateSquareMeters += laminated;
    filmMoney += squareMeters * (zone ?? card).filmPerSquareMeter;
    laminateMoney += laminated * (zone ?? card).laminatePerSquareMeter;
  }
  const each = seams.map((seam) => seamFigures(side, seam));
  const sum = (of: (figures: SeamFigures) => number) => each.reduce((total, one) => total + of(one), 0);

  const install = sideInstall(side, panels, each);
  const shopMinutes =
    sum(({ cost }) => cost.shopMinutes) +
    shopTrims * card.shopTrimMinutesPerEdge +
    panels.length * card.panelShopMinutes +
    (rollMm / 1000) * card.shopMinutesPerRollMeter;
  const visibleMeters = sum(({ cost }) => cost.visibleMeters);
  const laborMoney = laborCost(card, install.minutes + install.matchingMinutes + shopMinutes);
  const ground = (kind: keyof GroundMeters) => sum(({ parts }) => parts.ground[kind]);
  const online = Object.fromEntries(
    HIDING_KINDS.map((kind) => [kind, sum(({ parts }) => parts.online[kind])]),
  ) as Record<HidingKind, number>;
  return {
    panels: panels.length,
    seams: seams.length,
    seamMeters: {
      flat: ground('flat'),
      curve: ground('curve'),
      recess: ground('recess'),
      open: ground('open'),
    },
    onlineMeters: online,
    visibleMeters,
    letteringCrossed: sum(({ parts }) => parts.lettering),
    people: install.people,
    longestFilm: install.longestFilm,
    shopTrims,
    filmSquareMeters,
    laminateSquareMeters,
    wasteShare: filmSquareMeters > 0 ? 1 - panelSquareMm / 1e6 / filmSquareMeters : 0,
    installMinutes: install.minutes,
    matchingMinutes: install.matchingMinutes,
    shopMinutes,
    filmMoney,
    laminateMoney,
    laborMoney,
    money: filmMoney + laminateMoney + laborMoney,
    movedSeams: seams.filter(({ place }) => isMovedSeam(side, place.axis, place.at, place.path)).length,
    visibleWorth: visibleMeters * card.visibleSeamPerMeter,
  };
}

/** The objective of a plan, summed over its panels and seams; undefined where a panel does not fit the roll. */
export function planUnits(
  side: PlanSide,
  stock: PlanStock,
  weights: PlanWeights,
  tree: PlanTree,
): number | undefined {
  const { panels, seams } = treeParts(tree, sideFrame(side));
  const rates = new FilmRates(side, stock, weights);
  let units = 0;
  for (const { frame } of panels) {
    if (isFrameOpen(side, frame)) continue;
    const film = frameFilm(frame);
    const zone = filmAt(side, frameNet(frame));
    units += panelFilmUnits(side, rollOf(stock, zone), rates.on(zone), film.width, film.height);
    if (units === Number.POSITIVE_INFINITY) return undefined;
    units += rates.on(zone).perTrim * frameTrims(frame);
  }
  for (const { place, joint } of seams) units += seamUnitsAt(side, weights, place, joint);
  return units;
}

/** The objective of a plan from its figures, plus the costs that no layout of the side changes. */
export const figuresUnits = (weights: PlanWeights, figures: PlanFigures): number =>
  UNITS_PER_MONEY *
  (weights.installMinute * (figures.installMinutes + figures.matchingMinutes) +
    weights.shopMinute * figures.shopMinutes +
    weights.filmSquareMeter * figures.filmSquareMeters +
    weights.visibleMeter * figures.visibleMeters +
    weights.letteringLine * figures.letteringCrossed +
    weights.panel * figures.panels +
    weights.shopTrim * figures.shopTrims +
    weights.movedSeam * figures.movedSeams);

/** Whether one plan is at least as good in every figure and better in one. */
export function isDominated(by: PlanFigures, plan: PlanFigures): boolean {
  const compared = (f: PlanFigures) => [
    f.panels,
    f.filmSquareMeters,
    f.installMinutes + f.matchingMinutes,
    f.shopTrims,
    f.visibleMeters,
    f.letteringCrossed,
    f.money + f.visibleWorth,
    f.movedSeams,
  ];
  const [better, worse] = [compared(by), compared(plan)];
  return (
    better.every((value, i) => value <= itemAt(worse, i) + SAME) &&
    better.some((value, i) => value < itemAt(worse, i) - SAME)
  );
}

/** Figures closer than this are equal; it is far below a second, a square centimeter or a cent. */
const SAME = 1e-6;
