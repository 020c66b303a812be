import { describe, expect, it } from 'vitest';
import { arrivalFindings } from '../../../core/findings/layout/arrival-findings.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { unitsOfJob } from '../../../core/layout/unit-layouts.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { checkInSheet } from '../../../core/sheets/check-in-sheet.ts';
import { numbersShort } from '../../../core/sheets/fleet-print.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { packingEntries, packingList } from '../../../core/sheets/packing-list.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { bookmobileJob, testFonts } from './fixture.ts';
import { overlappingTexts, textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const one = bookmobileJob();
const fleetOf = (count: number, change: Partial<Job> = {}): Job => ({
  ...one,
  vehicles: [
    {
      ...one.vehicles[0]!,
      units: Array.from({ length: count }, (_, index) => ({
        unitNumber: `BM-${String(index + 7).padStart(2, '0')}`,
        licensePlate: `AL 44${71 + index}`,
      })),
    },
  ],
  ...change,
});
const fleet = fleetOf(3);
const layouts = jobLayout(fleet);
const panelCount = layouts.reduce((sum, { panels }) => sum + panels.length, 0);
const wordsOf = (sheets: readonly Parameters<typeof textsOf>[0][]): string =>
  sheets.flatMap((sheet) => textsOf(sheet).map(({ text }) => text)).join(' | ');

describe('papers of a fleet', () => {
  it('FLT5 a label for each panel of each vehicle, with its unit number', () => {
    const sheet = LABEL_SHEETS['a4-2x4'];
    const labels = panelLabels(fleet, layouts, { fonts, sheet, hasStamp: true });
    const words = labels.flatMap((page) => textsOf(page).map(({ text }) => text));
    for (const { unitNumber } of fleet.vehicles[0]!.units)
      expect(words.filter((text) => text === unitNumber)).toHaveLength(panelCount);
    expect(labels.flatMap(overlappingTexts)).toEqual([]);
    const ofOne = panelLabels(one, jobLayout(one), { fonts, sheet, hasStamp: true });
    expect(wordsOf(ofOne)).not.toContain(one.vehicles[0]!.units[0]!.unitNumber);
  });

  it('FLT5 packing list and check-in sheet are those of one vehicle, the map names all', () => {
    const [, second] = unitsOfJob(fleet, layouts);
    const list = wordsOf(packingList(second!.job, second!.layouts, { fonts }));
    expect(list).toContain('BM-08');
    expect(list).not.toContain('BM-07');
    expect(wordsOf(checkInSheet(second!.job, second!.layouts, { fonts }))).toContain('AL 4472');
    const map = wordsOf(installMap(fleet, layouts, { fonts }));
    for (const text of ['BM-07', 'BM-08', 'BM-09', 'AL 4473']) expect(map).toContain(text);
    expect(map).toContain(`${panelCount} panels each`);
    expect(packingEntries(fleet, layouts)).toContain(
      `Together ${panelCount} panels for each of 3: BM-07, BM-08 and BM-09`,
    );
  });

  it('FLT6 the crew reads the note and the count of each vehicle, and check-in asks for the count', () => {
    const noted = fleetOf(3);
    Object.assign(noted.vehicles[0]!.units[1]!, {
      installNote: 'Dent at the rear door',
      panelsArrived: panelCount - 2,
    });
    const map = installMap(noted, layouts, { fonts });
    const words = wordsOf(map);
    expect(words).toContain('BM-08: Dent at the rear door');
    expect(words).toContain(`${panelCount - 2} of ${panelCount}`);
    expect(words.split(`____ of ${panelCount}`)).toHaveLength(3);
    expect(map.flatMap(overlappingTexts)).toEqual([]);
    const [first, second] = unitsOfJob(noted, layouts);
    const checkIn = (unit: NonNullable<typeof first>) =>
      wordsOf(checkInSheet(unit.job, unit.layouts, { fonts, isOfFleet: true }));
    expect(checkIn(first!)).toContain('Panels arrived');
    expect(checkIn(first!)).not.toContain('Dent');
    expect(checkIn(second!)).toContain('Dent at the rear door');
    expect(wordsOf(installMap(second!.job, second!.layouts, { fonts }))).toContain(
      'BM-08: Dent at the rear door',
    );
    expect(arrivalFindings(noted, layouts).map(({ message }) => message)).toEqual([
      `${panelCount - 2} of the ${panelCount} panels of BM-08 arrived.`,
    ]);
    for (const sheet of [
      installMap(one, jobLayout(one), { fonts }),
      checkInSheet(one, jobLayout(one), { fonts }),
    ])
      expect(wordsOf(sheet)).not.toMatch(/arrived/i);
  });

  it('the ticket says how often each panel prints, or names the vehicle of each where sets follow each other', () => {
    const production = jobProduction(fleet, layouts);
    const words = wordsOf(ticket(fleet, layouts, production, { fonts, findings: [] }));
    expect(words).toContain('Print 3 of each panel');
    expect(production.items).toHaveLength(3 * panelCount);
    const settings = { ...DEFAULT_PRODUCTION, fleetOrder: 'set-by-set' as const };
    const bySet = fleetOf(3, { production: settings });
    const named = wordsOf(ticket(bySet, layouts, jobProduction(bySet, layouts), { fonts, findings: [] }));
    expect(named).not.toContain('of each panel');
    for (const { panels } of layouts)
      for (const { label } of panels) expect(named).toContain(`${label} · BM-09`);
  });

  it('the times of each vehicle are estimates, rounded up to the half hour, unless they were entered', () => {
    const production = {
      ...DEFAULT_PRODUCTION,
      ...{ fleetOrder: 'set-by-set' as const, printStart: '2026-03-09T07:37' },
    };
    const bySet = fleetOf(3, { production });
    const made = jobProduction(bySet, layouts);
    const [first, second] = made.clock!.sets!;
    expect([first, second].some((set) => !/:[03]0$/.test(set!.ready))).toBe(true);
    const record = { parts: [{ unitNumber: second!.unitNumber, offPrinter: '2026-03-10 09:11' }] };
    const said = ticket(bySet, layouts, made, { fonts, findings: [], operator: { record } })
      .flatMap(textsOf)
      .filter(({ tag }) => tag.startsWith('table Vehicles: print'))
      .flatMap(({ text }) => text.match(/\d\d:\d\d/g) ?? []);
    expect(said.filter((time) => !/:[03]0$/.test(time))).toEqual(['09:11']);
    expect(said.length).toBeGreaterThan(5);
  });

  it('film, ink, times and cost are those of all vehicles', () => {
    const measured = {
      panels: layouts.flatMap(({ panels }) =>
        panels.map(({ id, label }) => ({
          panelId: id,
          label,
          meanPercent: 90,
          worstPercent: 210,
          worstAt: { xMm: 0, yMm: 0 },
          windowMm2: 400,
        })),
      ),
      unmeasured: [],
    };
    const settings = { ...DEFAULT_PRODUCTION, fleetOrder: 'set-by-set' as const };
    const ofOne = jobProduction({ ...one, production: settings }, jobLayout(one), measured).estimates;
    const ofThree = jobProduction(fleetOf(3, { production: settings }), layouts, measured).estimates;
    for (const key of ['ink', 'trimTime', 'packTime', 'installTime'] as const)
      expect(ofThree[key]!.value / ofOne[key]!.value).toBeCloseTo(3, 9);
    expect(ofThree.film.value).toBeGreaterThan(2.5 * ofOne.film.value);
    expect(ofThree.film.value).toBeLessThanOrEqual(3 * ofOne.film.value);
  });

  it('what is wrong with a panel is said once, not for each vehicle', () => {
    const narrow = { ...one.printer, rollWidthMm: 700 };
    const job = fleetOf(3, { printer: narrow });
    const production = jobProduction(job, layouts);
    const found = productionFindings({ job, layouts, production });
    const wide = found.filter(({ code }) => code === 'roll-panel-too-wide');
    expect(wide.length).toBeGreaterThan(0);
    expect(wide.length).toBeLessThanOrEqual(panelCount);
    for (const { message, where } of wide) {
      expect(message).toMatch(/So it is for 2 more vehicles\.$/);
      expect(layouts.some(({ panels }) => panels.some(({ id }) => id === where.panelId))).toBe(true);
    }
  });

  it('sides of two types of vehicle stand on one overview, the first type before the second', () => {
    const trailer = {
      id: 'v2',
      kind: 'trailer' as const,
      code: 'T',
      units: [{ unitNumber: 'T-31', licensePlate: '' }],
    };
    const side = {
      ...one.sides[1]!,
      id: 'trailer-rear',
      vehicleId: trailer.id,
      layout: { kind: 'panel', id: 'tp' } as const,
    };
    const rig: Job = {
      ...one,
      vehicles: [{ ...one.vehicles[0]!, code: 'V' }, trailer],
      sides: [{ ...side, noFilmAreas: [] }, ...one.sides],
    };
    const map = installMap(rig, jobLayout(rig), { fonts });
    const captions = textsOf(map[0]!).map(({ text }) => text);
    const at = (code: string) => captions.findIndex((text) => text.startsWith(code));
    expect(at('V-RR')).toBeGreaterThanOrEqual(0);
    expect(at('T-RR')).toBeGreaterThan(at('V-RR'));
    expect(at('T-RR')).toBeGreaterThan(at('V-LH'));
  });

  it('says rolls in few words', () => {
    expect(numbersShort([7, 1, 2, 3, 4])).toBe('1 to 4, 7');
    expect(numbersShort([2, 1])).toBe('1, 2');
    expect(numbersShort([])).toBe('');
  });
});
