import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findingKey } from '../../../core/findings/finding.ts';
import { layoutFindings } from '../../../core/findings/layout/findings.ts';
import { pairingFindings } from '../../../core/findings/pairing.ts';
import { FIRST_FILM_ID } from '../../../core/job/job-films.ts';
import type { Film, Job, Printer, Region } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { layoutsOfPanels } from '../../../core/output/reprint-layouts.ts';
import { filmProductions, jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { filmGroups, filmsApart, sharedFilms } from '../../../core/production/shared-film.ts';
import { sharedRolls } from '../../../core/production/shared-rolls.ts';
import { weekJob } from '../../../core/production/week-job.ts';
import {
  DEFAULT_PRODUCTION,
  type FilmProductionSettings,
  type ProductionSettings,
} from '../../../core/shop/production-settings.ts';
import type { ShelfFilm, ShelfLaminate } from '../../../core/shop/shelf.ts';
import { jobSample, sideSample } from '../job/sample-job.ts';

const CAST: ShelfFilm = {
  id: 'cast',
  use: 'film',
  name: 'Cast 52',
  kind: 'cast',
  finish: 'gloss',
  thicknessUm: 52,
  adhesive: 'solvent acrylic',
  serviceYears: 7,
  widthMm: 1524,
  lengthMm: 45_720,
  pricePerM2: 17,
  lotNumber: 'A1',
  stretchLimitPercent: 100,
};
const FLAT: ShelfFilm = {
  ...CAST,
  id: 'flat',
  name: 'Roadway 75',
  kind: 'calendered-polymeric',
  pricePerM2: 9,
  lotNumber: 'B4',
  serviceYears: 5,
  stretchLimitPercent: 6,
};
const laminate = ({ stretchLimitPercent: _, ...film }: ShelfFilm, name: string): ShelfLaminate => ({
  ...film,
  use: 'laminate',
  name,
});
const named = ({ name, kind, finish, lotNumber }: ShelfFilm): Film => ({ name, kind, finish, lotNumber });

const [WIDE, NARROW]: readonly Printer[] = [
  { ...jobSample().printer, name: 'Long table', rollWidthMm: 1524 },
  { ...jobSample().printer, name: 'Short table', rollWidthMm: 1370, feedErrorPercent: 0.3 },
] as const;

const OWN_A = {
  film: CAST,
  laminate: laminate(CAST, 'Clear cast'),
  meanCoveragePercent: 150,
  worstCoveragePercent: 210,
};
const OWN_B = {
  film: FLAT,
  laminate: laminate(FLAT, 'Clear 80'),
  meanCoveragePercent: 110,
  worstCoveragePercent: 170,
};

/** Rows and columns of panels, each on film A or B. */
const gridLayout = (films: readonly (readonly boolean[])[], width: number, height: number): Region => ({
  kind: 'split',
  seams: 'vertical',
  joints: films.slice(1).map((_, i) => ({
    id: `j${i}`,
    kind: 'lap',
    atMm: (width * (i + 1)) / films.length,
    firstMm: 14,
    secondMm: 11,
    top: 'first',
  })),
  parts: films.map((column, i) => ({
    kind: 'split',
    seams: 'horizontal',
    joints: column.slice(1).map((_, k) => ({
      id: `j${i}-${k}`,
      kind: 'lap',
      atMm: (height * (k + 1)) / column.length,
      firstMm: 14,
      secondMm: 11,
      top: 'first',
    })),
    parts: column.map((isB, k) => ({ kind: 'panel', id: `p${i}-${k}`, ...(isB && { filmId: 'b' }) })),
  })),
});

const COMMON: ProductionSettings = {
  ...DEFAULT_PRODUCTION,
  printStart: '2026-03-09T07:30',
  promised: '2026-03-20T08:00',
};

function mixedJob(
  films: readonly (readonly boolean[])[],
  ofB: FilmProductionSettings,
  printerB: Printer,
): Job {
  return jobSample({
    sides: [sideSample({ layout: gridLayout(films, 6130, 2270) })],
    film: named(CAST),
    printer: WIDE!,
    production: { ...COMMON, ...OWN_A },
    otherFilms: [{ id: 'b', film: named(FLAT), printer: printerB, production: ofB }],
  });
}

/** The panels of one film as a job that never heard of another. */
function aloneOnB(job: Job, printStart = '2026-03-09T07:30', laminateStart?: string) {
  const { otherFilms, ...rest } = job;
  const alone: Job = {
    ...rest,
    film: named(FLAT),
    printer: otherFilms![0]!.printer,
    production: { ...COMMON, ...OWN_B, printStart, ...(laminateStart !== undefined && { laminateStart }) },
  };
  const ids = jobLayout(job).flatMap(({ panels }) =>
    panels.filter(({ filmId }) => filmId === 'b').map(({ id }) => id),
  );
  return jobProduction(alone, layoutsOfPanels(jobLayout({ ...alone, sides: job.sides }), ids));
}

const columns = fc.array(fc.array(fc.boolean(), { minLength: 1, maxLength: 3 }), {
  minLength: 5,
  maxLength: 7,
});

describe('a job with several films', () => {
  it('nests, dries and estimates each film as a job with this film and its panels alone', () => {
    fc.assert(
      fc.property(
        columns.filter((films) => films.flat().some(Boolean)),
        (films) => {
          const job = mixedJob(films, OWN_B, NARROW!);
          const made = filmProductions(jobProduction(job, jobLayout(job)));
          const { filmId, before: _, ...onB } = made.find((each) => each.filmId === 'b')!;
          const { printStart, laminateStart } = onB.settings;
          const { filmId: __, ...alone } = aloneOnB(job, printStart, laminateStart);
          const { installTime: ___, ...estimates } = alone.estimates;
          const estimatesOfB = { ...onB.estimates, installTime: undefined };
          expect({ ...onB, clock: undefined, estimates: estimatesOfB }).toEqual({
            ...{ ...alone, clock: undefined },
            estimates: { ...estimates, installTime: undefined },
          });
          const onA = made.find((each) => each.filmId === FIRST_FILM_ID);
          // PR17 One laminator and the same hands: never sooner than alone, and never two films at once.
          expect(onB.clock!.install >= alone.clock!.install).toBe(true);
          if (onA && onA.items.length > 0) {
            const [a, b] = [onA.clock!, onB.clock!];
            expect(a.laminated! <= b.laminate! || b.laminated! <= a.laminate!).toBe(true);
            expect(a.pack <= b.trim || b.pack <= a.trim).toBe(true);
          }
          const nested = made.flatMap(({ plan }) => [
            ...plan.placements.map(({ panelId }) => panelId),
            ...plan.unplacedPanelIds,
          ]);
          expect(nested.toSorted()).toEqual(
            films.flatMap((column, i) => column.map((_, k) => `bookmobile/p${i}-${k}`)).toSorted(),
          );
        },
      ),
      { numRuns: 25 },
    );
  });

  it('REC1 the week takes the time off the printer of the film for which it was entered', () => {
    const job = mixedJob([[false], [false], [true], [true], [true, false]], OWN_B, NARROW!);
    const made = jobProduction(job, jobLayout(job));
    const [a, b] = weekJob(job, made).films;
    const off = { parts: [{ filmId: 'b', offPrinter: '2026-03-12 16:20' }] };
    const week = weekJob(job, made, off);
    expect(week.films[0]!.print).toEqual(a!.print);
    expect(week.films[1]!.print!.to).toBe('2026-03-12T16:20');
    expect(week.films[1]!.dry! > b!.dry!).toBe(true);
    expect(week.isPrinted).toBe(false);
    const all = weekJob(job, made, { ...off, offPrinter: '2026-03-12 16:20' });
    expect([all.isPrinted, all.films[0]!.print!.to]).toEqual([true, '2026-03-12T16:20']);
  });

  it('sums film, laminate, ink, times and cost over the films', () => {
    const job = mixedJob([[false], [false], [true], [true], [true, false]], OWN_B, NARROW!);
    const { together, ...production } = jobProduction(job, jobLayout(job));
    const [a, b] = filmProductions(production).map(({ estimates }) => estimates);
    for (const key of [
      'film',
      'laminate',
      'ink',
      'printTime',
      'laminationTime',
      'trimTime',
      'packTime',
      'cost',
    ] as const) {
      expect(together![key]!.value).toBeCloseTo(a![key]!.value + b![key]!.value, 9);
      expect(together![key]!.inputs.reduce((sum, { value }) => sum + value, 0)).toBeCloseTo(
        together![key]!.value,
        9,
      );
    }
    const panels = [a, b].reduce((sum, { waste } = a!) => sum + waste.inputs[0]!.value, 0);
    expect(together!.waste.value).toBeCloseTo(100 * (1 - panels / together!.film.value), 9);
    // Its seams and panels are those of the whole side, on any film.
    expect(together!.installTime).toEqual(
      jobProduction({ ...job, otherFilms: undefined! }, jobLayout(job)).estimates.installTime,
    );
    const unknown = mixedJob(
      [[false], [false], [true], [true], [true]],
      { ...OWN_B, meanCoveragePercent: undefined },
      NARROW!,
    );
    const half = jobProduction(unknown, jobLayout(unknown)).together!;
    expect(half.ink).toBeUndefined();
    expect(half.cost.inputs.map(({ name }) => name)).toContain('Ink where it is known');
  });

  it('prints films one after the other on one printer, and at the same time on two', () => {
    const films = [[false], [false], [true], [true], [true]];
    const clocks = (printerB: Printer, ofB: FilmProductionSettings = OWN_B) => {
      const job = mixedJob(films, ofB, printerB);
      return filmProductions(jobProduction(job, jobLayout(job))).map(({ clock }) => clock!.printEnd);
    };
    const onTwo = clocks(NARROW!);
    expect(onTwo[1]).toBe(aloneOnB(mixedJob(films, OWN_B, NARROW!)).clock!.printEnd);
    const onOne = clocks({ ...NARROW!, name: ' long TABLE' });
    expect(onOne[0]).toBe(onTwo[0]);
    expect(onOne[1]).toBe(aloneOnB(mixedJob(films, OWN_B, NARROW!), onOne[0]).clock!.printEnd);
    expect(onOne[1]! > onTwo[1]!).toBe(true);
    expect(clocks({ ...NARROW!, name: 'Long table' }, { ...OWN_B, printStart: '2026-03-09T07:30' })[1]).toBe(
      onTwo[1],
    );
  });

  it('FM6 warns of a seam between films of different kinds, and of none between films of one kind', () => {
    const job = mixedJob([[false], [true, true], [false, true], [false], [false]], OWN_B, NARROW!);
    const found = layoutFindings(job, jobLayout(job)).filter(({ code }) => code === 'seam-between-films');
    expect(found.map(({ where }) => where.seamId).toSorted()).toEqual(['j0', 'j1', 'j2', 'j2-0']);
    expect(found[0]!.message).toContain('film A is cast and film B is polymeric calendered');
    const alike = mixedJob([[false], [true]], { ...OWN_B, film: { ...FLAT, kind: 'cast' } }, NARROW!);
    expect(layoutFindings(alike, jobLayout(alike)).map(({ code }) => code)).not.toContain(
      'seam-between-films',
    );
  });

  it('fits each panel to the roll of its film', () => {
    // 1,226 wide and 60 or 25 more, and 60 of border: too wide for 1,270, as wide as 1,524 takes.
    const columns5 = [[false], [true], [false], [false], [false]];
    const tight = mixedJob(columns5, OWN_B, { ...NARROW!, rollWidthMm: 1270 });
    const found = layoutFindings(tight, jobLayout(tight)).filter(({ code }) => code === 'panel-too-wide');
    expect(found.map(({ where }) => where.panelId)).toEqual(['p1-0']);
    const margins = mixedJob(columns5, OWN_B, { ...NARROW!, marginLeftMm: 900, marginRightMm: 900 });
    const filled = layoutFindings(margins, jobLayout(margins)).filter(
      ({ code }) => code === 'margins-fill-roll',
    );
    expect(filled.map(({ where }) => where)).toEqual([{ filmId: 'b' }]);
  });

  it('pairs each film with its laminate, and heeds the ground under its own panels alone', () => {
    const recess = {
      id: 'h1',
      name: 'Recess',
      kind: 'recess',
      rect: { xMm: 100, yMm: 300, widthMm: 700, heightMm: 500 },
    } as const;
    const films = [[false], [true], [true], [true], [true]];
    const pairs = (job: Job) => {
      const made = { ...job, sides: [{ ...job.sides[0]!, ground: [recess] }] };
      const layouts = jobLayout(made);
      return productionFindings({ job: made, layouts }).filter(({ code }) => code.startsWith('pair-'));
    };
    expect(pairs(mixedJob(films, OWN_B, NARROW!))).toEqual([]);
    const swapped = mixedJob(
      films.map((column) => column.map((isB) => !isB)),
      OWN_B,
      NARROW!,
    );
    expect(pairs(swapped).map(({ code, where }) => [code, where])).toEqual([
      ['pair-difficult-ground', { filmId: 'b' }],
    ]);
    const wrong = {
      ...OWN_B,
      laminate: { ...OWN_B.laminate, kind: 'cast', adhesive: 'rubber', widthMm: 1370 },
    } as const;
    const order = {
      film: FLAT,
      laminate: wrong.laminate,
      hasDifficultGround: false,
      promisedYears: undefined,
      orderedFinish: '',
      unit: 'mm',
    } as const;
    expect(pairs(mixedJob(films, wrong, NARROW!))).toEqual(
      pairingFindings(order).map((each) => ({
        ...each,
        message: `Film B: ${each.message}`,
        where: { ...each.where, filmId: 'b' },
      })),
    );
  });

  it('nests a job with another on the film that both have, with its panels on that film alone', () => {
    const mixed = mixedJob([[false], [true], [true], [false], [false]], OWN_B, NARROW!);
    const flat: Job = {
      ...jobSample({ id: 'flat', number: 'F-2' }),
      film: named(FLAT),
      printer: NARROW!,
      production: { ...COMMON, ...OWN_B },
    };
    expect(filmGroups([mixed, flat]).map(({ jobIds }) => jobIds)).toEqual([
      ['bookmobile'],
      ['bookmobile', 'flat'],
    ]);
    expect(filmsApart([mixed, flat])).toEqual([]);
    const shared = sharedRolls([mixed, flat].map((job) => ({ job, layouts: jobLayout(job) })));
    if (!shared.ok) throw new Error(shared.problem.message);
    expect(shared.value.film).toBe('Roadway 75');
    // Each film that all of them print on has its plan; of one job these are all that it has.
    const [castAlone, flatAlone] = sharedFilms([mixed]).map((films) => {
      const plan = sharedRolls([{ job: mixed, layouts: jobLayout(mixed) }], { films });
      return plan.ok ? [plan.value.film, plan.value.items.length] : plan.problem;
    });
    expect([castAlone, flatAlone]).toEqual([
      ['Cast 52', jobLayout(mixed)[0]!.panels.length - 2],
      ['Roadway 75', 2],
    ]);
    expect(shared.value.jobs[0]!.panelIds.toSorted()).toEqual(['bookmobile/p1-0', 'bookmobile/p2-0']);
    expect(shared.value.rolls[0]!.widthMm).toBe(1370);
    const other = { ...flat, film: { ...named(FLAT), name: 'Another' }, production: undefined! };
    expect(filmsApart([mixed, other])).toHaveLength(1);
  });

  it('tells of which film a finding is, with a key of its own for each after the first', () => {
    const short = {
      id: 'r',
      label: 'Rest',
      widthMm: 1370,
      leftMarginMm: 10,
      rightMarginMm: 10,
      usableLengthMm: 900,
      leadInMm: 200,
      tailMm: 200,
    };
    const job = mixedJob(
      [[false], [true], [false], [true], [false]],
      { ...OWN_B, laminate: undefined, rolls: [short] },
      WIDE!,
    );
    const withoutLaminate = { ...job, production: { ...job.production!, laminate: undefined! } };
    const layouts = jobLayout(withoutLaminate);
    const production = jobProduction(withoutLaminate, layouts);
    const found = productionFindings({ job: withoutLaminate, layouts, production });
    const laminates = found.filter(({ code }) => code === 'pair-no-laminate');
    expect(laminates.map(({ message }) => message.slice(0, 7))).toEqual(['Film A:', 'Film B:']);
    expect(laminates.map(findingKey)).toEqual(['pair-no-laminate//////', 'pair-no-laminate///////b']);
    expect(laminates[0]!.where.filmId).toBe(FIRST_FILM_ID);
    expect(new Set(found.map(findingKey)).size).toBe(found.length);
    expect(filmProductions(production)[1]!.plan.unplacedPanelIds.toSorted()).toEqual([
      'bookmobile/p1-0',
      'bookmobile/p3-0',
    ]);
  });
});
