/** Differences between a job and the settings that its shop gives to new jobs. */
import { lengthText } from '../measure/length-text.ts';
import { firstOf } from '../measure/present.ts';
import type { Allowances } from '../shop/allowances.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../shop/artwork-limits.ts';
import { ESTIMATED_COST_CARD } from '../shop/cost-card.ts';
import { dateText } from '../shop/date-text.ts';
import { ESTIMATED_PRICES } from '../shop/prices.ts';
import { DEFAULT_PRODUCTION, ProductionDefaults } from '../shop/production-settings.ts';
import { LEFT_RIGHT_SIDES } from '../shop/side-names.ts';
import { DEFAULT_SHAPE_LIMITS } from './defaults.ts';
import { hasSeveralFilms, type JobFilm, jobFilm, jobFilms, jobWithPrinter } from './job-films.ts';
import { jobProductionSettings } from './job-production-settings.ts';
import { jobAllowances } from './joint-default.ts';
import type { Job } from './schema.ts';
import {
  type JobStart,
  jobStart,
  printerOfJob,
  profileWith,
  SAME_ROLL_MM,
  type ShopProfile,
} from './shop-profile.ts';

export interface ShopDifference {
  /** Name of the setting, such as `Bleed`. */
  readonly label: string;
  /** The job's value, and the shop's value. */
  readonly job: string;
  readonly shop: string;
  /** Changes that give the job, as it is at that time, the shop's value. */
  asShop(job: Job): JobFields;
  /** The shop with the job's value. */
  readonly asJob: ShopProfile;
}

type JobFields = Partial<JobStart> & Pick<Partial<Job>, 'production' | 'otherFilms'>;

/** A job or a shop in comparable form: defaults filled in for every figure that the job omits. */
type Compared = Omit<JobStart, 'allowances' | 'productionDefaults'> & {
  readonly allowances: Allowances;
  readonly productionDefaults: ProductionDefaults;
};

interface ComparedField {
  readonly label: string;
  /** Equal texts mean no difference. */
  text(of: Compared, length: (mm: number) => string): string;
  change(job: Compared, shop: Compared): Partial<JobStart>;
  /** In a job with several films: the film that it applies to, because each film has its printer. */
  readonly isOfFilm?: true;
}

const FIELDS: readonly ComparedField[] = [
  {
    label: 'Shop on sheets',
    text: ({ shop }) =>
      shop ? [shop.name, shop.address, shop.phone].filter(Boolean).join(', ') : 'not named',
    change: (_, { shop }) => (shop ? { shop } : {}),
  },
  {
    label: 'Lengths',
    text: ({ displayUnit }) => (displayUnit === 'in' ? 'inches' : 'millimeters'),
    change: (_, { displayUnit }) => ({ displayUnit }),
  },
  {
    label: 'Dates',
    text: ({ dateOrder }) => dateText('2026-11-20', dateOrder),
    change: (_, { dateOrder }) => ({ ...(dateOrder && { dateOrder }) }),
  },
  {
    label: 'Side names',
    text: ({ sideNames = LEFT_RIGHT_SIDES }) =>
      [sideNames.vehicle, sideNames.trailer]
        .map(({ left, right }) => `${left.name} ${left.code}, ${right.name} ${right.code}`)
        .filter((pair, index, all) => all.indexOf(pair) === index)
        .join('; '),
    change: (_, { sideNames }) => ({ ...(sideNames && { sideNames }) }),
  },
  {
    label: 'Sheet size',
    text: ({ output }) => (output.mapSheet === 'Tabloid' ? '11 × 17' : output.mapSheet),
    change: ({ output }, { output: { mapSheet } }) => ({ output: { ...output, mapSheet } }),
  },
  {
    label: 'Kinds and sizes of sheets',
    text: ({ sheets = {} }) => JSON.stringify(sheets),
    change: (_, { sheets = {} }) => ({ sheets }),
  },
  {
    label: 'Currency',
    text: ({ productionDefaults }) => productionDefaults.figures.currency,
    change: ({ productionDefaults }, { productionDefaults: { figures } }) => ({
      productionDefaults: {
        ...productionDefaults,
        figures: { ...productionDefaults.figures, currency: figures.currency },
      },
    }),
  },
  {
    label: 'Printer',
    text: ({ printer }) => printer.name,
    change: (_, { printer }) => ({ printer }),
    isOfFilm: true,
  },
  ofPrinter('Roll width', ({ rollWidthMm }, length) => length(rollWidthMm), ['rollWidthMm']),
  ofPrinter('Margins', (of, length) => `${length(of.marginLeftMm)} and ${length(of.marginRightMm)}`, [
    'marginLeftMm',
    'marginRightMm',
  ]),
  ofPrinter('Roll length', ({ rollLengthMm }, length) => length(rollLengthMm), ['rollLengthMm']),
  ofPrinter('Longest print', ({ longestPrintMm }, length) => length(longestPrintMm), ['longestPrintMm']),
  ofPrinter('Feed error', ({ feedErrorPercent }) => `${feedErrorPercent} %`, ['feedErrorPercent']),
  {
    label: 'Film',
    text: ({ film, laminate }) => [film.name, laminate?.name ?? 'no laminate'].join(', '),
    change: (_, { film, laminate }) => ({ film, ...(laminate && { laminate }) }),
    isOfFilm: true,
  },
  ofAllowances('Overlap of new seams', ({ overlapMm }, length) => length(overlapMm), ['overlapMm']),
  ofAllowances(
    'Finished overlap of new seams',
    ({ finishedOverlapMm }, length) => length(finishedOverlapMm),
    ['finishedOverlapMm'],
  ),
  ofAllowances('Overlap of new seams on trailers', ({ shiftOverlapMm }, length) => length(shiftOverlapMm), [
    'shiftOverlapMm',
  ]),
  ofAllowances('Bleed of new sides', ({ bleedMm }, length) => length(bleedMm), ['bleedMm']),
  {
    label: 'Border',
    text: ({ output }, length) => length(output.borderMm),
    change: ({ output }, { output: { borderMm } }) => ({ output: { ...output, borderMm } }),
  },
  {
    label: 'Panel numbers',
    text: ({ output }) => (output.numbering === 'install-order' ? 'in install order' : 'row by row'),
    change: ({ output }, { output: { numbering } }) => ({ output: { ...output, numbering } }),
  },
  ofLimits('Least overlap', ({ minOverlapMm }, length) => length(minOverlapMm), ['minOverlapMm']),
  ofLimits('Least panel width', ({ minPanelMm }, length) => length(minPanelMm), ['minPanelMm']),
  ofLimits('Longest horizontal panel', ({ longestPanelMm }, length) => length(longestPanelMm), [
    'longestPanelMm',
  ]),
  ofLimits(
    'Most rise of a seam',
    ({ mostRiseMm = DEFAULT_SHAPE_LIMITS.mostRiseMm }, length) => length(mostRiseMm),
    ['mostRiseMm'],
  ),
  ofLimits(
    'Least radius of film corners',
    ({ leastCornerRadiusMm = DEFAULT_SHAPE_LIMITS.leastCornerRadiusMm }, length) =>
      length(leastCornerRadiusMm),
    ['leastCornerRadiusMm'],
  ),
  ofLimits('Trimming of seams', ({ seamTrim = 'tape' }) => TRIM_NAMES[seamTrim], ['seamTrim']),
  {
    label: 'Limits of the artwork',
    text: ({ artworkLimits = DEFAULT_ARTWORK_LIMITS }) => JSON.stringify(artworkLimits),
    change: (_, { artworkLimits = DEFAULT_ARTWORK_LIMITS }) => ({ artworkLimits }),
  },
  {
    label: 'Cost card',
    text: ({ costCard = ESTIMATED_COST_CARD }) => JSON.stringify(costCard),
    change: (_, { costCard = ESTIMATED_COST_CARD }) => ({ costCard }),
  },
  {
    label: 'Prices',
    text: ({ prices = ESTIMATED_PRICES }) => JSON.stringify(prices),
    change: (_, { prices = ESTIMATED_PRICES }) => ({ prices }),
  },
  {
    label: 'Working hours',
    text: ({ productionDefaults }) => JSON.stringify(productionDefaults.workingHours),
    change: ({ productionDefaults }, { productionDefaults: { workingHours } }) => ({
      productionDefaults: { ...productionDefaults, workingHours },
    }),
  },
];

export const TRIM_NAMES = { tape: 'over cutting tape', gap: 'in a gap', edge: 'on an edge' } as const;

/** Too long to read in a line. */
const isSpelledOut = (text: string): boolean => text.startsWith('{');

/** In the order of the settings, those of further films last; in the unit of the job. */
export function shopDifferences(job: Job, profile: ShopProfile): ShopDifference[] {
  return [
    ...differencesIn(FIELDS, job, profile, hasSeveralFilms(job) ? 'A' : undefined),
    ...jobFilms(job)
      .slice(1)
      .flatMap((film) => filmDifferences(job, profile, film)),
  ];
}

/** A further film belongs to the job alone, but the setup of the shop's printer for it is compared. Keeps FM12. */
function filmDifferences(job: Job, profile: ShopProfile, { id, letter, printer }: JobFilm): ShopDifference[] {
  if (!profile.printers.some(({ name }) => name === printer.name)) return [];
  const onFilm = (now: Job): Job => ({ ...now, printer: jobFilm(now, id).printer });
  const fields = FIELDS.filter(({ isOfFilm, label }) => isOfFilm && label !== 'Film');
  return differencesIn(fields, onFilm(job), profile, letter).map((difference) => ({
    ...difference,
    asShop: (now) => {
      const { otherFilms } = jobWithPrinter(now, id, difference.asShop(onFilm(now)).printer ?? {});
      return otherFilms ? { otherFilms } : {};
    },
  }));
}

function differencesIn(
  fields: readonly ComparedField[],
  job: Job,
  profile: ShopProfile,
  letter: string | undefined,
): ShopDifference[] {
  const length = (mm: number) => lengthText(mm, job.displayUnit);
  const [ofJob, ofShop] = [compared(job, job), compared(job, shopStart(job, profile))];
  return fields.flatMap((field) => {
    const [inJob, inShop] = [field.text(ofJob, length), field.text(ofShop, length)];
    if (inJob === inShop) return [];
    const label = field.isOfFilm && letter !== undefined ? `${field.label} of film ${letter}` : field.label;
    const words = isSpelledOut(inJob) ? { job: 'its own', shop: 'others' } : { job: inJob, shop: inShop };
    const asShop = (now: Job) => fieldsOf(now, field.change(compared(now, now), ofShop));
    // Settings that the shop leaves out cannot differ.
    return Object.keys(asShop(job)).length > 0
      ? [{ label, ...words, asShop, asJob: profileWith(profile, field.change(ofShop, ofJob)) }]
      : [];
  });
}

/** A job whose production was opened has separate production figures. */
function fieldsOf(job: Job, change: Partial<JobStart>): JobFields {
  if (!job.production || !change.productionDefaults) return change;
  return { production: { ...job.production, ...change.productionDefaults } };
}

/** The printer and roll of the shop that match the job's, if the shop has them. */
function shopStart(job: Job, profile: ShopProfile): JobStart {
  const { rollWidthMm, name } = job.printer;
  const printer = profile.printers.find((each) => each.name === name) ?? firstOf(profile.printers);
  const width = printer.rollWidthsMm.find((mm) => Math.abs(mm - rollWidthMm) < SAME_ROLL_MM);
  return { ...jobStart(profile), printer: printerOfJob(printer, width) };
}

function compared(job: Job, start: JobStart): Compared {
  const given =
    start === job ? jobProductionSettings(job) : { ...DEFAULT_PRODUCTION, ...start.productionDefaults };
  return {
    ...start,
    allowances: jobAllowances(start),
    productionDefaults: picked(given, PRODUCTION_KEYS),
  };
}

const PRODUCTION_KEYS = ProductionDefaults.keyof().options;

type Length = (mm: number) => string;

function ofPrinter(
  label: string,
  text: (printer: Job['printer'], length: Length) => string,
  keys: readonly (keyof Job['printer'])[],
): ComparedField {
  return {
    label,
    text: ({ printer }, length) => text(printer, length),
    change: (job, shop) => ({ printer: { ...job.printer, ...picked(shop.printer, keys) } }),
    isOfFilm: true,
  };
}

function ofLimits(
  label: string,
  text: (limits: Job['limits'], length: Length) => string,
  keys: readonly (keyof Job['limits'])[],
): ComparedField {
  return {
    label,
    text: ({ limits }, length) => text(limits, length),
    change: (job, shop) => ({ limits: { ...job.limits, ...picked(shop.limits, keys) } }),
  };
}

function ofAllowances(
  label: string,
  text: (allowances: Compared['allowances'], length: Length) => string,
  keys: readonly (keyof Compared['allowances'])[],
): ComparedField {
  return {
    label,
    text: ({ allowances }, length) => text(allowances, length),
    change: (job, shop) => ({ allowances: { ...job.allowances, ...picked(shop.allowances, keys) } }),
  };
}

const picked = <T extends object, K extends keyof T>(from: T, keys: readonly K[]): Pick<T, K> =>
  Object.fromEntries(keys.map((key) => [key, from[key]])) as Pick<T, K>;
