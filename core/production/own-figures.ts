/**
 * Figures of the shop as its own last jobs gave them: the median with its spread, to be taken one by one. Nothing changes
 * by itself, and a figure that fewer than three jobs speak for is not proposed.
 */
import { z } from 'zod';
import type { ShopProfile } from '../job/shop-profile.ts';
import { robust } from '../measure/robust.ts';
import { listSchema } from '../measure/schemas.ts';
import type { JobTook } from '../output/job-actuals.ts';
import { ESTIMATED_COST_CARD } from '../shop/cost-card.ts';
import { ESTIMATED_PRICES } from '../shop/prices.ts';

export const OWN_FIGURE_KEYS = [
  'printM2PerHour',
  'laminationMetersPerHour',
  'trimMinutesPerPanel',
  'packMinutesPerPanel',
  'installMinutesPerSquareMeter',
  'hoursLessPercent',
  'hoursMorePercent',
  'materialLessPercent',
  'materialMorePercent',
] as const;
const OwnFigureKey = z.enum(OWN_FIGURE_KEYS);
export type OwnFigureKey = z.infer<typeof OwnFigureKey>;

export const OwnFigure = z.strictObject({
  key: OwnFigureKey,
  proposed: z.number(),
  /** Of the values behind it, in their own unit. */
  spread: z.number(),
  count: z.number().int(),
  /** Numbers of the jobs whose values lie far off the others. */
  farOff: listSchema(z.string()),
});
export type OwnFigure = z.infer<typeof OwnFigure>;

/** What stands behind each figure, with its unit. */
export const OWN_FIGURE_NAMES: Readonly<Record<OwnFigureKey, string>> = {
  printM2PerHour: 'Printing, m² an hour',
  laminationMetersPerHour: 'Laminating, m an hour',
  trimMinutesPerPanel: 'Trimming a panel, min',
  packMinutesPerPanel: 'Packing a panel, min',
  installMinutesPerSquareMeter: 'Installing a square meter, min',
  hoursLessPercent: 'Hours may be less by, %',
  hoursMorePercent: 'Hours may be more by, %',
  materialLessPercent: 'Material may be less by, %',
  materialMorePercent: 'Material may be more by, %',
};

const LEAST_JOBS = 3;
const LAST_JOBS = 20;
const MINUTES = 60;

/** `took`: the latest first. Keeps ACT2. */
export function ownFigures(took: readonly JobTook[]): OwnFigure[] {
  return OWN_FIGURE_KEYS.flatMap((key) => {
    const values = took
      .flatMap((job) => {
        const value = VALUES[key](job);
        return value !== undefined && Number.isFinite(value) && value > 0 ? [{ job, value }] : [];
      })
      .slice(0, LAST_JOBS);
    const found = robust(values.map(({ value }) => value));
    if (!found || found.count < LEAST_JOBS) return [];
    const { middle, spread, count } = found;
    return [
      {
        key,
        proposed: rounded(PROPOSED[key]?.(middle, spread) ?? middle),
        spread,
        count,
        farOff: values.filter(({ value }) => found.farOff.includes(value)).map(({ job }) => job.number),
      },
    ];
  });
}

type OfJob = (job: JobTook) => number | undefined;

/** An hour of the step without what setting up takes. */
const speed =
  (step: 'printing' | 'lamination', amount: (job: JobTook) => number, setup: OfJob): OfJob =>
  (job) => {
    const taken = job.actuals.stepHours?.[step];
    if (taken === undefined) return undefined;
    const { rolls, laminations = rolls } = job.estimated;
    const begun = step === 'printing' ? rolls : laminations;
    const running = taken - (begun * (setup(job) ?? 0)) / MINUTES;
    return running > 0 ? amount(job) / running : undefined;
  };

const perPanel =
  (step: 'trimming' | 'packing'): OfJob =>
  ({ actuals, estimated }) => {
    const taken = actuals.stepHours?.[step];
    return taken === undefined ? undefined : (taken * MINUTES) / estimated.panels;
  };

/** What the surface took: the hours less what the estimate gives to panels and seams. */
const perSquareMeter: OfJob = ({ actuals: { installHours }, estimated }) => {
  const { minutes, surfaceM2, installMinutesPerM2 } = estimated;
  if (installHours === undefined || minutes.installing === undefined) return undefined;
  return (installHours * MINUTES - (minutes.installing - surfaceM2 * installMinutesPerM2)) / surfaceM2;
};

/** Hours that were counted ÷ hours that were estimated for the same steps. */
const hoursShare: OfJob = ({ actuals: { installHours, stepHours = {} }, estimated: { minutes } }) => {
  let [taken, likely] = [0, 0];
  for (const [step, hours] of Object.entries(stepHours)) {
    taken += (hours ?? 0) * MINUTES;
    likely += minutes[step as keyof typeof stepHours];
  }
  if (installHours !== undefined && minutes.installing !== undefined) {
    taken += installHours * MINUTES;
    likely += minutes.installing;
  }
  return likely > 0 ? taken / likely : undefined;
};

const filmShare: OfJob = ({ actuals: { filmM }, estimated }) =>
  filmM === undefined ? undefined : filmM / estimated.filmM;

const VALUES: Readonly<Record<OwnFigureKey, OfJob>> = {
  printM2PerHour: speed(
    'printing',
    ({ estimated }) => estimated.filmPassedM2,
    (job) => job.estimated.printSetupMinutes,
  ),
  laminationMetersPerHour: speed(
    'lamination',
    ({ estimated }) => estimated.laminateM,
    (job) => job.estimated.laminationSetupMinutes,
  ),
  trimMinutesPerPanel: perPanel('trimming'),
  packMinutesPerPanel: perPanel('packing'),
  installMinutesPerSquareMeter: perSquareMeter,
  hoursLessPercent: hoursShare,
  hoursMorePercent: hoursShare,
  materialLessPercent: filmShare,
  materialMorePercent: filmShare,
};

/** From a share of the estimate to how far a quote spreads: one spread below and above the middle. */
const less = (middle: number, spread: number): number =>
  Math.min(100, Math.max(0, 100 * (1 - (middle - spread))));
const more = (middle: number, spread: number): number => Math.max(0, 100 * (middle + spread - 1));
const PROPOSED: Partial<Record<OwnFigureKey, (middle: number, spread: number) => number>> = {
  hoursLessPercent: less,
  hoursMorePercent: more,
  materialLessPercent: less,
  materialMorePercent: more,
};

const rounded = (value: number): number => Number(value.toPrecision(3));

type SpreadKey = Extract<OwnFigureKey, `${string}Percent`>;
const isSpread = (key: OwnFigureKey): key is SpreadKey => key.endsWith('Percent');

/** What the shop counts with now. */
export function figureInUse(profile: ShopProfile, key: OwnFigureKey): number {
  if (isSpread(key)) return (profile.prices ?? ESTIMATED_PRICES)[key];
  if (key === 'installMinutesPerSquareMeter') return (profile.costCard ?? ESTIMATED_COST_CARD)[key];
  return profile.production.figures[key];
}

/** The part of the shop's profile that changes where a figure is taken. */
export function shopWithFigure(
  profile: ShopProfile,
  { key, proposed }: Pick<OwnFigure, 'key' | 'proposed'>,
): Partial<ShopProfile> {
  if (isSpread(key)) return { prices: { ...(profile.prices ?? ESTIMATED_PRICES), [key]: proposed } };
  if (key === 'installMinutesPerSquareMeter') {
    return { costCard: { ...(profile.costCard ?? ESTIMATED_COST_CARD), [key]: proposed } };
  }
  const { production } = profile;
  return { production: { ...production, figures: { ...production.figures, [key]: proposed } } };
}
