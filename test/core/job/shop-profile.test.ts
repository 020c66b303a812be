import { describe, expect, it } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import { jobSet, panelSplit, sideAdd } from '../../../core/job/edits/edits.ts';
import { sideSuggested } from '../../../core/job/edits/side-suggested.ts';
import { jobProductionSettings } from '../../../core/job/job-production-settings.ts';
import { Job } from '../../../core/job/schema.ts';
import { shopDefaults, shopInUnit } from '../../../core/job/shop-defaults.ts';
import { shopDifferences } from '../../../core/job/shop-differences.ts';
import { otherRollWidths, ShopProfile } from '../../../core/job/shop-profile.ts';
import { withFirstKind } from '../../../core/job/vehicles.ts';
import { lapFromJob } from '../../../core/seams/plan-from-job.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';

const GIVEN = { id: 'n', number: 'N-1', name: 'New', customer: 'Alder County Library', date: '2026-03-12' };
const US = shopDefaults('en-US');
const METRIC = shopDefaults('de-DE');

/** Without the spaces that hold a figure and its unit together. */
const spaced = (text: string) => text.replaceAll('\u00a0', ' ');

const withSides = (job: Job, count: number): Job => {
  let next = job;
  for (let page = 1; page <= count; page++) {
    const side = sideSuggested(next, page, { x: 0, y: 0, width: 600, height: 200 });
    const added = sideAdd(next, { side });
    if (!added.ok) throw new Error(added.problem.message);
    next = added.value;
  }
  return next;
};

describe('the shop before anybody has set it up', () => {
  it('SHOP1 follows the region: inches, driver and passenger side, 11 × 17 and USD in the United States', () => {
    expect(US).toMatchObject({
      displayUnit: 'in',
      dateOrder: 'month-first',
      output: { mapSheet: 'Tabloid', borderMm: 31.75 },
      sheets: { sizes: { ticket: 'Letter' } },
      sideNames: {
        vehicle: { left: { code: 'DS' }, right: { code: 'PS' } },
        trailer: { left: { code: 'SS' } },
      },
      production: { figures: { currency: 'USD' } },
    });
    expect(US.printers[0]!.rollWidthsMm).toEqual([54 * 25.4, 60 * 25.4]);
    expect(METRIC).toMatchObject({
      displayUnit: 'mm',
      dateOrder: 'day-first',
      output: { mapSheet: 'A3', borderMm: 30 },
      sideNames: { vehicle: { left: { code: 'LH' }, right: { code: 'RH' } } },
      production: { figures: { currency: 'EUR' } },
    });
    expect(shopDefaults('en')).toEqual(US);
    expect(shopDefaults('en-GB').production.figures.currency).toBe('GBP');
    expect(shopDefaults('fr-CA')).toMatchObject({
      displayUnit: 'mm',
      dateOrder: 'year-first',
      output: { mapSheet: 'Tabloid' },
      production: { figures: { currency: 'CAD' } },
    });
    expect(shopDefaults('zh-Hans')).toMatchObject({ displayUnit: 'mm' });
  });

  it('is a profile as it is kept', () => {
    for (const profile of [US, METRIC]) expect(ShopProfile.parse(profile)).toEqual(profile);
  });

  it('turns to the other system without touching what the shop has entered', () => {
    const { sheets: _, ...us } = US;
    expect(shopInUnit(METRIC, 'in')).toEqual({
      ...us,
      dateOrder: 'day-first',
      output: { ...US.output, mapSheet: 'A3' },
      production: { ...US.production, figures: { ...US.production.figures, currency: 'EUR' } },
    });
    const own = { ...US, allowances: { ...US.allowances, bleedMm: 76.2 } };
    expect(shopInUnit(own, 'mm')).toMatchObject({ allowances: own.allowances, limits: METRIC.limits });
  });
});

describe('a new job', () => {
  it('begins with all that the shop says', () => {
    const shop: ShopProfile = {
      ...US,
      name: 'Alder Sign Works',
      address: '12 Mill Rd, Alder',
      phone: '555-0142',
      preparedBy: 'Jo',
      limits: { ...US.limits, seamTrim: 'edge' },
    };
    const job = Job.parse(jobEmpty(GIVEN, shop));
    expect(job).toMatchObject({
      shop: { name: 'Alder Sign Works', address: '12 Mill Rd, Alder', phone: '555-0142' },
      displayUnit: 'in',
      preparedBy: 'Jo',
      printer: { rollWidthMm: 1371.6, longestPrintMm: 30_480 },
      limits: { seamTrim: 'edge', longestPanelMm: 6096 },
    });
    expect(jobProductionSettings(job).figures.currency).toBe('USD');
    expect(shopDifferences(job, shop)).toEqual([]);
  });

  it('names its sides, bleeds and overlaps as the shop does', () => {
    const van = withSides(jobEmpty(GIVEN, US), 7);
    expect(van.sides.map(({ code }) => code)).toEqual(['DS', 'PS', 'REAR', 'FRONT', 'ROOF', 'HOOD', 'S7']);
    expect(van.sides[0]).toMatchObject({ name: 'Driver side', front: 'left', bleed: { top: 50.8 } });
    const trailer = jobEmpty(GIVEN, US);
    const named = withSides(withFirstKind(trailer, 'trailer'), 2);
    expect(named.sides.map(({ name }) => name)).toEqual(['Street side', 'Curb side']);
    expect(withSides(jobEmpty(GIVEN, METRIC), 2).sides.map(({ code }) => code)).toEqual(['LH', 'RH']);
    const [{ id: sideId, layout }] = van.sides as [Job['sides'][number]];
    const panelId = layout.kind === 'panel' ? layout.id : '';
    const cut = panelSplit(van, { sideId, panelId, seams: 'vertical', atMm: 1000 });
    expect(cut.ok && cut.value.sides[0]!.layout).toMatchObject({
      joints: [{ firstMm: 12.7, secondMm: 12.7 }],
    });
    const lapOf = (job: Job) => lapFromJob(withFirstKind(job, 'trailer'), {});
    expect(lapOf(van)).toMatchObject({ under: 44.45, over: 44.45 });
    expect(lapOf(jobEmpty(GIVEN))).toMatchObject({ under: 54, over: 36 });
  });
});

describe('a job that goes its own way', () => {
  it('says where it differs from the shop, and goes back', () => {
    const job = jobEmpty(GIVEN, US);
    const own: Job = {
      ...job,
      output: { ...job.output, borderMm: 25.4, mapSheet: 'A3' },
      printer: { ...job.printer, rollWidthMm: 1200, feedErrorPercent: 0.3 },
      limits: { ...job.limits, seamTrim: 'gap' },
    };
    const found = shopDifferences(own, US);
    expect(found.map(({ label, job: inJob, shop }) => [label, spaced(inJob), spaced(shop)])).toEqual([
      ['Sheet size', 'A3', '11 × 17'],
      ['Roll width', '47 1/4 in', '54 in'],
      ['Feed error', '0.3 %', '0 %'],
      ['Border', '1 in', '1 1/4 in'],
      ['Trimming of seams', 'in a gap', 'over cutting tape'],
    ]);
    const back = found.reduce<Job>((now, { asShop }) => {
      const set = jobSet(now, { change: asShop(now) });
      return set.ok ? set.value : now;
    }, own);
    expect(shopDifferences(back, US)).toEqual([]);
    expect(found.map(({ label }) => label)).not.toContain('Longest print');
  });

  it('FM12 says of which film the printer differs, and sets that film’s own printer back', () => {
    const job = jobEmpty(GIVEN, US);
    const further = (name: string) => ({
      id: 'f2',
      film: { ...job.film, name: 'Roadway 75' },
      printer: { ...job.printer, name, rollWidthMm: 1200, feedErrorPercent: 0.4 },
    });
    const own: Job = {
      ...job,
      printer: { ...job.printer, feedErrorPercent: 0.3 },
      otherFilms: [further(job.printer.name)],
    };
    const found = shopDifferences(own, US);
    expect(found.map(({ label, job: inJob, shop }) => [label, spaced(inJob), spaced(shop)])).toEqual([
      ['Feed error of film A', '0.3 %', '0 %'],
      ['Roll width of film B', '47 1/4 in', '54 in'],
      ['Feed error of film B', '0.4 %', '0 %'],
    ]);
    const [, , ofB] = found;
    const set = jobSet(own, { change: ofB!.asShop(own) });
    expect(set.ok && set.value).toMatchObject({
      printer: { feedErrorPercent: 0.3 },
      otherFilms: [{ printer: { rollWidthMm: 1200, feedErrorPercent: 0 } }],
    });
    // A printer that the shop does not have is nothing of the shop's.
    const foreign = { ...job, otherFilms: [further('Flatbed')] };
    expect(shopDifferences(foreign, US)).toEqual([]);
  });

  it('takes each roll of the shop’s printers for the shop’s own', () => {
    const job = jobEmpty(GIVEN, US);
    expect(shopDifferences({ ...job, printer: { ...job.printer, rollWidthMm: 1524 } }, US)).toEqual([]);
  });

  it('knows the other rolls of a job’s printer, and none for a printer that it does not have', () => {
    const { printer } = jobEmpty(GIVEN, US);
    expect(otherRollWidths(US, printer)).toEqual([1524]);
    expect(otherRollWidths(US, { ...printer, rollWidthMm: 1067 })).toEqual([1371.6, 1524]);
    expect(otherRollWidths(US, { ...printer, name: 'Flatbed' })).toEqual([]);
  });

  it('compares the figures of production where somebody has looked at it', () => {
    const job: Job = { ...jobEmpty(GIVEN, US), production: DEFAULT_PRODUCTION };
    const currency = shopDifferences(job, US).find(({ label }) => label === 'Currency');
    expect(currency).toMatchObject({ job: 'EUR', shop: 'USD' });
    const set = jobSet(job, { change: currency!.asShop(job) });
    expect(set.ok && jobProductionSettings(set.value).figures.currency).toBe('USD');
  });

  it('does not tell an old job without the shop’s fields that it differs where it works alike', () => {
    expect(shopDifferences(jobEmpty(GIVEN), { ...METRIC, dateOrder: 'year-first' })).toEqual([]);
  });
});
