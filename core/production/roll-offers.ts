/**
 * Rolls of the shelf that a job can be printed on and laminated with: partial rolls that take all of it first, the one on
 * which least is left over before the others, then those that take a side or more.
 */
import { z } from 'zod';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { foundIn } from '../measure/present.ts';
import { listSchema, mmSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { DEFAULT_PLAN_EFFORT, type SearchLook } from '../rolls/assignment-search.ts';
import { rollStockFromPrinter } from '../rolls/from-job.ts';
import { type RollPlan, rollPlan } from '../rolls/roll-plan.ts';
import { placedRight } from '../rolls/roll-use.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import { MAX_LABEL, type PackItem, type RollRules, type RollStock } from '../shop/rolls.ts';
import { StockRoll } from '../shop/stock-roll.ts';
import { lotText, materialKey, stockCode } from '../shop/stock-text.ts';
import { type FilmProduction, filmProduction } from './film-production.ts';
import { packItems } from './job-rolls.ts';
import { filmName } from './shared-film.ts';

const RollOffer = z.strictObject({
  roll: StockRoll,
  /** What of the job it takes by itself: all of it, or one of these sides, of a fleet that of one vehicle. */
  takes: z.union([z.literal('all'), listSchema(z.string())]),
  /** Film or laminate that goes off it then, lead-in, tail and what is lost on threading included. */
  neededMm: mmSchema,
});
export type RollOffer = z.infer<typeof RollOffer>;

export const RollOffers = z.strictObject({
  films: listSchema(RollOffer),
  /** For the nesting as it is now. */
  laminates: listSchema(RollOffer),
  /** Rolls that the job took and that have another length by now, as the shelf has them. */
  changed: listSchema(StockRoll),
});
export type RollOffers = z.infer<typeof RollOffers>;

/** Longer than any roll: what is nested on it is as short as the film lets it be. */
const AMPLE_MM: Mm = 1_000_000;

/** `job` and `layouts` as they are on that film, see jobOnFilm and layoutsOnFilm. Keeps STK8. */
export function rollOffers(
  job: Job,
  filmId: string,
  layouts: readonly SideLayout[],
  stock: readonly StockRoll[],
  look?: SearchLook,
): RollOffers {
  const made = filmProduction(job, filmId, layouts, { look });
  const settings = jobProductionSettings(job);
  // Places that were locked are on other rolls.
  const items = packItems(job, layouts, { ...settings, locked: [] });
  const film = materialKey(filmName(job));
  const rolls = stock.filter(({ use, material, leftMm }) => {
    return use !== 'laminate' && leftMm > 0 && materialKey(material) === film;
  });
  const codeOf = new Map(layouts.map(({ side }) => [`${job.id}/${side.id}`, side.code]));
  const needs = filmNeeds(job, items, made.rules, look);
  const films = rolls.flatMap((roll): RollOffer[] => {
    const whole = needs(roll, undefined);
    if (whole !== undefined && whole <= roll.leftMm) return [{ roll, takes: 'all', neededMm: whole }];
    if (new Set(items.map(({ sideId }) => sideId)).size < 2) return [];
    // Vehicles that are alike need the same film for a side: the first stands for all.
    const fitting = [...codeOf].flatMap(([sideId, code]) => {
      const neededMm = needs(roll, sideId);
      return neededMm !== undefined && neededMm <= roll.leftMm ? [{ code, neededMm }] : [];
    });
    if (fitting.length === 0) return [];
    const neededMm = Math.max(...fitting.map((side) => side.neededMm));
    return [{ roll, takes: fitting.map(({ code }) => code), neededMm }];
  });
  return {
    films: films.toSorted(byFit),
    laminates: laminateOffers(job, made, stock).toSorted(byFit),
    changed: stock.filter((roll) => hasChanged(settings, roll)),
  };
}

/** It was printed on since, or counted. */
const hasChanged = ({ rolls, laminateRolls = [] }: ProductionSettings, { id, leftMm }: StockRoll): boolean =>
  [...rolls, ...laminateRolls].some(
    ({ onShelf, usableLengthMm }) =>
      onShelf?.rollId === id && Math.abs(usableLengthMm - leftMm) > LENGTH_TOLERANCE_MM,
  );

/** The rolls that a job took, one of them with what is left on it now; where nothing is, it is taken out. */
export function rollsAsLeft(
  { rolls, laminateRolls }: ProductionSettings,
  { id, leftMm }: StockRoll,
): Pick<ProductionSettings, 'rolls' | 'laminateRolls'> {
  const asLeft = <T extends { readonly onShelf?: { readonly rollId: string } | undefined }>(roll: T): T[] => {
    if (roll.onShelf?.rollId !== id) return [roll];
    return leftMm > 0 ? [{ ...roll, usableLengthMm: leftMm }] : [];
  };
  return {
    rolls: rolls.flatMap(asLeft),
    ...(laminateRolls && { laminateRolls: laminateRolls.flatMap(asLeft) }),
  };
}

/** Film that a side, or all sides, take on a roll of some width by itself; undefined where it is too narrow for a panel. */
function filmNeeds(job: Job, items: readonly PackItem[], rules: RollRules, look: SearchLook | undefined) {
  const known = new Map<string, Mm | undefined>();
  return ({ widthMm }: StockRoll, sideId: string | undefined): Mm | undefined => {
    const key = `${widthMm} ${sideId ?? ''}`;
    if (known.has(key)) return known.get(key);
    const roll: RollStock = {
      ...rollStockFromPrinter(job.printer, 'offered', 'offered'),
      widthMm,
      usableLengthMm: AMPLE_MM,
    };
    const nested = items.filter((item) => sideId === undefined || item.sideId === sideId);
    const plan: RollPlan = rollPlan(nested, [roll], rules, DEFAULT_PLAN_EFFORT, look);
    const neededMm = plan.unplacedPanelIds.length === 0 ? plan.uses[0]?.usedLengthMm : undefined;
    known.set(key, neededMm);
    return neededMm;
  };
}

/**
 * Laminate covers what is printed from edge to edge and is no wider than the film, or its edge sticks to the rollers of
 * the laminator (common practice, no source). Each roll of film is threaded again.
 */
function laminateOffers(
  job: Job,
  { settings, plan, rolls }: FilmProduction,
  stock: readonly StockRoll[],
): RollOffer[] {
  const name = settings.laminate?.name ?? job.laminate?.name;
  if (name === undefined) return [];
  const uses = plan.uses.filter(({ usedLengthMm }) => usedLengthMm > 0);
  if (uses.length === 0) return [];
  let [neededMm, nestMm, filmMm] = [0, 0, Number.POSITIVE_INFINITY];
  for (const { rollId, usedLengthMm, bands } of uses) {
    const roll = foundIn(rolls, ({ id }) => id === rollId);
    const panels = bands.flatMap((band) => band.panels);
    neededMm += usedLengthMm - roll.leadInMm - roll.tailMm + settings.figures.laminateLossMm;
    nestMm = Math.max(
      nestMm,
      Math.max(...panels.map(placedRight)) - Math.min(...panels.map(({ place }) => place.xMm)),
    );
    filmMm = Math.min(filmMm, roll.widthMm);
  }
  return stock.flatMap((roll): RollOffer[] =>
    roll.use === 'laminate' &&
    materialKey(roll.material) === materialKey(name) &&
    roll.leftMm >= neededMm &&
    roll.widthMm >= nestMm - LENGTH_TOLERANCE_MM &&
    roll.widthMm <= filmMm + LENGTH_TOLERANCE_MM
      ? [{ roll, takes: 'all', neededMm }]
      : [],
  );
}

const byFit = (a: RollOffer, b: RollOffer): number =>
  sidesTaken(b) - sidesTaken(a) || a.roll.leftMm - a.neededMm - (b.roll.leftMm - b.neededMm);

const sidesTaken = ({ takes }: RollOffer): number =>
  takes === 'all' ? Number.POSITIVE_INFINITY : takes.length;

const nameOf = (roll: StockRoll): string => {
  const end = `, ${lotText(roll)}, ${stockCode(roll.number)}`;
  return `${roll.material.slice(0, MAX_LABEL - end.length)}${end}`.slice(0, MAX_LABEL);
};

const onShelfOf = ({ id, lotNumber, rollNumber, useBy }: StockRoll): NonNullable<RollStock['onShelf']> => ({
  rollId: id,
  lotNumber,
  rollNumber,
  ...(useBy !== undefined && { useBy }),
});

/** A roll of the shelf as a job takes it: with what is left on it now. */
export const rollFromShelf = (job: Job, roll: StockRoll): RollStock => ({
  ...rollStockFromPrinter(job.printer, `shelf-${roll.id}`, nameOf(roll)),
  widthMm: roll.widthMm,
  usableLengthMm: roll.leftMm,
  onShelf: onShelfOf(roll),
});

export const laminateFromShelf = (roll: StockRoll) => ({
  label: nameOf(roll),
  widthMm: roll.widthMm,
  usableLengthMm: roll.leftMm,
  onShelf: onShelfOf(roll),
});
