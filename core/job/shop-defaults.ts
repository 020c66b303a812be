/**
 * The initial shop, by the language and region of the machine. Common practice, no source; every value can be changed.
 */
import { INCH_ALLOWANCES, METRIC_ALLOWANCES } from '../shop/allowances.ts';
import type { DateOrder } from '../shop/date-order.ts';
import { DEFAULT_PRODUCTION, type ProductionDefaults } from '../shop/production-settings.ts';
import { DRIVER_PASSENGER_SIDES, LEFT_RIGHT_SIDES } from '../shop/side-names.ts';
import { DEFAULT_LIMITS, DEFAULT_OUTPUT, DEFAULT_PRINTER } from './defaults.ts';
import type { ShopProfile } from './shop-profile.ts';

const NEW_FILM: ShopProfile['film'] = { name: 'Cast print film', kind: 'cast', finish: '', lotNumber: '' };

const metricProduction = (currency: string): ProductionDefaults => {
  const { ink, restHours, transportHours, workingHours, rules, mayTurn, figures } = DEFAULT_PRODUCTION;
  return { ink, restHours, transportHours, workingHours, rules, mayTurn, figures: { ...figures, currency } };
};

/** The install map on Tabloid for the wall, hand-held papers on Letter. */
const SHEETS_ON_LETTER: NonNullable<ShopProfile['sheets']> = {
  sizes: { ticket: 'Letter', 'packing-list': 'Letter', 'check-in': 'Letter', quote: 'Letter' },
};

/** Millimeters, left and right side, A3, rolls of 1,524 and 1,372 mm. */
const METRIC_SHOP: ShopProfile = {
  format: 'panelwright-shop',
  name: '',
  address: '',
  phone: '',
  displayUnit: 'mm',
  dateOrder: 'day-first',
  sideNames: LEFT_RIGHT_SIDES,
  preparedBy: '',
  printers: [{ ...withoutWidth(DEFAULT_PRINTER), rollWidthsMm: [1524, 1372] }],
  film: NEW_FILM,
  allowances: METRIC_ALLOWANCES,
  output: DEFAULT_OUTPUT,
  limits: DEFAULT_LIMITS,
  production: metricProduction('EUR'),
};

/** Inches, driver and passenger side, 11 × 17, rolls of 54 and 60 in; lengths as on a tape. */
const US_SHOP: ShopProfile = {
  ...METRIC_SHOP,
  displayUnit: 'in',
  dateOrder: 'month-first',
  sideNames: DRIVER_PASSENGER_SIDES,
  printers: [
    {
      name: DEFAULT_PRINTER.name,
      rollWidthsMm: [1371.6, 1524],
      // 150 ft.
      rollLengthMm: 45_720,
      marginLeftMm: 9.525,
      marginRightMm: 9.525,
      // 100 ft.
      longestPrintMm: 30_480,
      feedErrorPercent: 0,
    },
  ],
  allowances: INCH_ALLOWANCES,
  output: { ...DEFAULT_OUTPUT, borderMm: 31.75, mapSheet: 'Tabloid' },
  sheets: SHEETS_ON_LETTER,
  limits: {
    ...DEFAULT_LIMITS,
    minOverlapMm: 12.7,
    minPanelMm: 152.4,
    // 20 ft.
    longestPanelMm: 6096,
  },
  production: {
    ...metricProduction('USD'),
    rules: { ...DEFAULT_PRODUCTION.rules, gapMm: 15.875 },
    // 5 ft of laminate at each start.
    figures: { ...DEFAULT_PRODUCTION.figures, currency: 'USD', laminateLossMm: 1524 },
  },
};

/** Regions whose shops print on Letter and Tabloid, with their currency; all but the first measure in millimeters. */
const LETTER_REGIONS: Readonly<Record<string, string>> = {
  US: 'USD',
  PR: 'USD',
  CA: 'CAD',
  MX: 'MXN',
  PH: 'PHP',
};
const INCH_REGIONS: ReadonlySet<string> = new Set(['US', 'PR']);
const CURRENCIES: Readonly<Record<string, string>> = {
  ...LETTER_REGIONS,
  GB: 'GBP',
  AU: 'AUD',
  NZ: 'NZD',
  CH: 'CHF',
  DK: 'DKK',
  NO: 'NOK',
  SE: 'SEK',
  PL: 'PLN',
  CZ: 'CZK',
  HU: 'HUF',
  JP: 'JPY',
  IN: 'INR',
  BR: 'BRL',
  ZA: 'ZAR',
};
const DATE_ORDERS: Readonly<Record<string, DateOrder>> = {
  CA: 'year-first',
  JP: 'year-first',
  SE: 'year-first',
  HU: 'year-first',
  PH: 'month-first',
};

/**
 * `locale` in the form used by browsers and systems: `en-US`, `de-DE`. English without a region is that of the United
 * States. Keeps SHOP1.
 */
export function shopDefaults(locale: string): ShopProfile {
  const region = /[-_]([A-Za-z]{2})(?![A-Za-z])/.exec(locale)?.[1]?.toUpperCase();
  if (region === undefined ? /^en\b/i.test(locale) : INCH_REGIONS.has(region)) return US_SHOP;
  const key = region ?? '';
  return {
    ...METRIC_SHOP,
    dateOrder: DATE_ORDERS[key] ?? METRIC_SHOP.dateOrder,
    ...(key in LETTER_REGIONS && {
      output: { ...METRIC_SHOP.output, mapSheet: 'Tabloid' },
      sheets: SHEETS_ON_LETTER,
    }),
    production: metricProduction(CURRENCIES[key] ?? 'EUR'),
  };
}

/** The same shop in the other unit system: unchanged figures become the usual ones of that system. */
export function shopInUnit(profile: ShopProfile, displayUnit: ShopProfile['displayUnit']): ShopProfile {
  if (profile.displayUnit === displayUnit) return profile;
  const {
    displayUnit: _,
    sideNames,
    printers,
    allowances,
    output,
    limits,
    production,
  } = displayUnit === 'in' ? US_SHOP : METRIC_SHOP;
  const own = displayUnit === 'in' ? METRIC_SHOP : US_SHOP;
  const untouched = <T>(value: T, usual: T, other: T): T =>
    JSON.stringify(value) === JSON.stringify(usual) ? other : value;
  return {
    ...profile,
    displayUnit,
    sideNames: untouched(profile.sideNames, own.sideNames, sideNames),
    printers: untouched(profile.printers, own.printers, printers),
    allowances: untouched(profile.allowances, own.allowances, allowances),
    output: {
      ...profile.output,
      borderMm: untouched(profile.output.borderMm, own.output.borderMm, output.borderMm),
    },
    limits: untouched(profile.limits, own.limits, limits),
    production: {
      ...profile.production,
      rules: untouched(profile.production.rules, own.production.rules, production.rules),
      figures: {
        ...profile.production.figures,
        laminateLossMm: untouched(
          profile.production.figures.laminateLossMm,
          own.production.figures.laminateLossMm,
          production.figures.laminateLossMm,
        ),
      },
    },
  };
}

function withoutWidth({
  rollWidthMm: _,
  ...printer
}: typeof DEFAULT_PRINTER): Omit<ShopProfile['printers'][number], 'rollWidthsMm'> {
  return printer;
}
