import { describe, expect, it } from 'vitest';
import { FIRST_FILM_ID, jobOnFilm } from '../../../core/job/job-films.ts';
import type { Job, OtherFilm } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { cheaperFilmOf, cheaperFilmText, planTakenCheaper } from '../../../core/seams/cheaper-film.ts';
import { rollLength } from '../../../core/seams/film-fit.ts';
import { layoutFromPlan, planSideFromJob, rollFromJob } from '../../../core/seams/plan-from-job.ts';
import { limitsBroken } from '../../../core/seams/plan-limits.ts';
import { frameFilm, sideFrame, treeParts } from '../../../core/seams/plan-tree.ts';
import { plansFromSide } from '../../../core/seams/planner.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import type { ShelfFilm, ShelfLaminate } from '../../../core/shop/shelf.ts';
import { edited, jobSample, lap, panel, sideSample, split } from '../job/sample-job.ts';

const CAST: ShelfFilm = {
  id: 'cast',
  use: 'film',
  name: 'Cast 52',
  kind: 'cast',
  finish: 'gloss',
  thicknessUm: 52,
  adhesive: '',
  serviceYears: 7,
  widthMm: 1524,
  lengthMm: 45_720,
  pricePerM2: 17,
  lotNumber: '',
  stretchLimitPercent: 15,
};
const { stretchLimitPercent: _, ...common } = CAST;
const CLEAR: ShelfLaminate = { ...common, use: 'laminate', name: 'Clear cast', pricePerM2: 11 };
const FLAT: ShelfFilm = {
  ...CAST,
  id: 'flat',
  name: 'Roadway 75',
  kind: 'calendered-polymeric',
  pricePerM2: 8,
};
const FLAT_CLEAR: ShelfLaminate = { ...CLEAR, name: 'Clear 80', kind: 'calendered-polymeric', pricePerM2: 6 };

const named = ({ name, kind, finish, lotNumber }: ShelfFilm | ShelfLaminate) => ({
  name,
  kind,
  finish,
  lotNumber,
});
/** Two panels: the left one flat, the right one over a recess. */
const layout = split('vertical', [lap('j1', 1300)], [panel('p1'), panel('p2')]);

function fleet(flat: Partial<OtherFilm> = {}): Job {
  const sample = jobSample();
  const ground = {
    id: 'h1',
    name: 'Rail',
    kind: 'recess' as const,
    rect: { xMm: 1900, yMm: 700, widthMm: 320, heightMm: 90 },
  };
  const printer = { ...sample.printer, rollWidthMm: 3000, rollLengthMm: 45_720, longestPrintMm: 30_000 };
  return jobSample({
    vehicles: [
      {
        id: 'v1',
        kind: 'van',
        units: ['7', '8', '9'].map((unitNumber) => ({ unitNumber, licensePlate: '' })),
      },
    ],
    sides: [sideSample({ layout, ground: [ground] })],
    film: named(CAST),
    laminate: named(CLEAR),
    printer,
    production: { ...DEFAULT_PRODUCTION, film: CAST, laminate: CLEAR },
    otherFilms: [
      {
        id: 'f2',
        film: named(FLAT),
        laminate: named(FLAT_CLEAR),
        printer,
        production: { film: FLAT, laminate: FLAT_CLEAR },
        ...flat,
      },
    ],
  });
}
const plan = (job: Job) => ({ layout, rollWidthMm: job.printer.rollWidthMm });

describe('a cheaper film for flat panels', () => {
  it('FM10 says what flat panels save for all vehicles, by a worked example, and takes it in one act', () => {
    const job = fleet();
    const found = cheaperFilmOf(job, 's1', plan(job))!;
    const [flat] = jobLayout(job)[0]!.panels.filter(({ id }) => id === 'p1');
    // 17 + 11 a m² before, 8 + 6 afterward, for three vehicles.
    const saving = (14 * 3 * flat!.film.width * flat!.film.height) / 1e6;
    expect(found).toMatchObject({ filmId: 'f2', panelIds: ['p1'], labels: [flat!.label], mixedSeams: 1 });
    expect(found.saving).toBeCloseTo(saving, 9);
    expect(cheaperFilmText(job, found, (amount) => `$${amount.toFixed(0)}`)).toBe(
      `${flat!.label} lies on no recess and no curve that the job knows: on film B: Roadway 75, film and laminate cost about $${saving.toFixed(0)} less, waste not counted. One seam would then join films of different kinds, which warns.`,
    );
    const taken = edited(planTakenCheaper(job, 's1', plan(job)) as Parameters<typeof edited>[0]);
    expect(
      jobLayout(taken)[0]!
        .panels.map(({ id, filmId }) => [id, filmId])
        .toSorted(),
    ).toEqual([
      ['p1', 'f2'],
      ['p2', FIRST_FILM_ID],
    ]);
    expect(cheaperFilmOf(taken, 's1', plan(job))).toBeUndefined();
  });

  it('FM10 goes by the kind of film where prices are missing, and then tells the area', () => {
    const found = (job: Job) => cheaperFilmOf(job, 's1', plan(job));
    const job = fleet({ production: {} });
    const [flat] = jobLayout(job)[0]!.panels.filter(({ id }) => id === 'p1');
    const squareMeters = (3 * flat!.film.width * flat!.film.height) / 1e6;
    expect(found(job)).toEqual({
      filmId: 'f2',
      panelIds: ['p1'],
      labels: [flat!.label],
      squareMeters,
      mixedSeams: 1,
    });
    const money = () => expect.fail('no price is known');
    const metric = cheaperFilmText({ ...job, displayUnit: 'mm' }, found(job)!, money);
    expect(metric).toContain(
      `on film B: Roadway 75, as a rule the cheaper kind, ${squareMeters.toFixed(2)} m² less of the dearer film would be printed`,
    );
    // A square foot is 0.09290304 m².
    const inFeet = cheaperFilmText({ ...job, displayUnit: 'in' }, found(job)!, money);
    expect(inFeet).toContain(`${(squareMeters / 0.09290304).toFixed(1)} ft² less`);
    expect(found(fleet({ production: { film: FLAT } }))?.saving).toBeUndefined();
    expect(found(fleet({ production: {}, film: { ...named(FLAT), kind: 'cast' } }))).toBeUndefined();
  });

  it('FM10 offers no film that is dearer, has holes or another base, or whose rolls are too narrow', () => {
    const none = (flat: Partial<OtherFilm>) => {
      const job = fleet(flat);
      return cheaperFilmOf(job, 's1', plan(job));
    };
    expect(none({})).toBeDefined();
    expect(none({ production: { film: { ...FLAT, pricePerM2: 40 }, laminate: FLAT_CLEAR } })).toBeUndefined();
    expect(
      none({ production: { film: { ...FLAT, perforated: true }, laminate: FLAT_CLEAR } }),
    ).toBeUndefined();
    expect(none({ production: { film: { ...FLAT, base: 'clear' }, laminate: FLAT_CLEAR } })).toBeUndefined();
    expect(none({ printer: { ...fleet().printer, rollWidthMm: 1370 } })).toBeUndefined();
  });

  it('FM9 keeps the seam at which films meet, and fits and charges each part by its own film', () => {
    const narrow = { ...fleet().printer, rollWidthMm: 760, longestPrintMm: 9000 };
    const job = fleet({ printer: narrow });
    const [side] = job.sides;
    const mixed = {
      ...side!,
      layout: split('vertical', [lap('j1', 1300)], [{ kind: 'panel', id: 'p1', filmId: 'f2' }, panel('p2')]),
    };
    const planSide = planSideFromJob(job, mixed);
    const own = planSideFromJob({ ...job, otherFilms: [] }, side!);
    expect(own.filmZones).toBeUndefined();
    expect(own.locked).toEqual([]);
    expect(planSide.rolls).toEqual(own.rolls);
    const onFlat = rollFromJob(jobOnFilm(job, 'f2'));
    const outcome = plansFromSide(planSide);
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    // 1,300 of 6,130 on film B, which prints panels of 760 less its margins; film A prints the height in one.
    for (const { tree, stock, figures } of outcome.plans) {
      const { panels, seams } = treeParts(tree, sideFrame(planSide));
      expect(limitsBroken(planSide, stock, tree)).toEqual([]);
      expect(seams.some(({ place }) => place.axis === 'vertical' && place.at === 1300)).toBe(true);
      expect(JSON.stringify(layoutFromPlan(planSide, tree))).not.toContain('locked');
      const onB = panels.filter(({ frame }) => frame.right <= 1300);
      expect(onB.length).toBeGreaterThan(1);
      const films = onB.map(({ frame }) => frameFilm(frame));
      const printable = narrow.rollWidthMm - narrow.marginLeftMm - narrow.marginRightMm;
      for (const { width, height } of films)
        expect(Math.min(width, height)).toBeLessThanOrEqual(printable + 0.01);
      const charged = panels.map(({ frame }) => {
        const { width, height } = frameFilm(frame);
        const [roll, price] = frame.right <= 1300 ? [onFlat, 8] : [stock.roll, 17];
        return (price * roll.width * rollLength(planSide, roll, width, height)!) / 1e6;
      });
      expect(figures.filmMoney).toBeCloseTo(
        charged.reduce((sum, one) => sum + one, 0),
        6,
      );
    }
  });
});
