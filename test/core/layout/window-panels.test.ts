import { describe, expect, it } from 'vitest';
import { findingKey } from '../../../core/findings/finding.ts';
import { layoutFindings } from '../../../core/findings/layout/findings.ts';
import { kindPairingFindings, pairingFindings } from '../../../core/findings/pairing.ts';
import {
  filmRemove,
  itemSet,
  panelsFilmSet,
  windowFilmSet,
  windowPrint,
} from '../../../core/job/edits/edits.ts';
import { applySavedLayout, savedLayoutFromSide } from '../../../core/job/edits/saved-layout.ts';
import { FIRST_FILM_ID, jobFilms } from '../../../core/job/job-films.ts';
import { jobInvariantProblem } from '../../../core/job/job-invariants.ts';
import type { Job, NoFilmArea } from '../../../core/job/schema.ts';
import { layoutsOnFilm } from '../../../core/layout/film-layouts.ts';
import { bodyPanels } from '../../../core/layout/panel.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { sideTotals } from '../../../core/layout/side-totals.ts';
import { polygonArea } from '../../../core/measure/outline.ts';
import { filmProductions, jobProduction } from '../../../core/production/job-production.ts';
import { jobInstall } from '../../../core/seams/side-install.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import type { ShelfFilm, ShelfLaminate } from '../../../core/shop/shelf.ts';
import { edited, jobSample, jobWithSide, PAGES_SAMPLE } from '../job/sample-job.ts';

const rear: NoFilmArea = {
  id: 'w1',
  name: 'Rear quarter window',
  kind: 'window',
  clearanceMm: 20,
  rect: { xMm: 3100, yMm: 260, widthMm: 1240, heightMm: 480 },
};
const bare = (more: Partial<NoFilmArea> = {}, job: Partial<Job> = {}) =>
  jobWithSide({ noFilmAreas: [{ ...rear, ...more }] }, job);
const printed = (more: Partial<NoFilmArea> = {}, job: Partial<Job> = {}) =>
  edited(windowPrint(bare(more, job), { sideId: 's1', areaId: 'w1' }));
const withFilm = (job: Job, change: Partial<NonNullable<NoFilmArea['windowFilm']>>): Job => {
  const { windowFilm } = job.sides[0]!.noFilmAreas[0]!;
  return edited(
    windowFilmSet(job, { sideId: 's1', areaId: 'w1', windowFilm: { ...windowFilm!, ...change } }),
  );
};
const glassOf = (job: Job) => jobLayout(job, PAGES_SAMPLE)[0]!.panels.find(({ glass }) => glass);
const codes = (job: Job) => layoutFindings(job, jobLayout(job)).map(({ code }) => code);

describe('perforated window film', () => {
  it('GLS1 gives the glass a panel of its own after those of the body, which stay as they were', () => {
    const [before, after] = [bare(), printed()].map((job) => jobLayout(job, PAGES_SAMPLE)[0]!);
    const panel = after!.panels.at(-1)!;
    expect(bodyPanels(after!.panels)).toEqual(before!.panels);
    expect(panel).toMatchObject({
      id: 'w1-glass',
      label: 'LH-05',
      order: 5,
      // 8 off the seal on all sides, and 25 of bleed past that.
      net: { x: 3108, y: 268, width: 1224, height: 464 },
      printed: { x: 3083, y: 243, width: 1274, height: 514 },
      coveredAreaMm2: 1224 * 464,
      glass: { areaId: 'w1', sealMm: 8 },
    });
    expect(jobFilms(printed()).map(({ letter, film }) => `${letter} ${film.perforated}`)).toEqual([
      'A undefined',
      'B true',
    ]);
    expect(panel.filmId).toBe(jobFilms(printed())[1]!.id);
    expect(layoutsOnFilm(printed(), [after!], panel.filmId)[0]!.panels).toEqual([panel]);
    const inches = glassOf(printed({}, { displayUnit: 'in' }))!;
    expect(inches.glass!.sealMm / 25.4).toBeCloseTo(5 / 16, 9);
    expect(inches.edges.left.allowanceMm).toBe(25.4);
  });

  it('GLS1 goes by the closed outline of a window', () => {
    const outline = [
      { xMm: 3100, yMm: 260 },
      { xMm: 4000, yMm: 260 },
      { xMm: 4340, yMm: 740 },
      { xMm: 3100, yMm: 740 },
    ];
    const panel = glassOf(printed({ outline }))!;
    expect(panel.glass!.points).toHaveLength(4);
    expect(panel.coveredAreaMm2).toBeCloseTo(polygonArea(panel.glass!.points), 6);
    expect(panel.net.x).toBeCloseTo(3108, 6);
    // The slope runs 340 over 480: 8 mm square to it are 8 · √(340² + 480²) / 480 = 9.80 along the top.
    const slope = (8 * Math.hypot(340, 480)) / 480;
    const topRight = Math.max(...panel.glass!.points.filter(({ y }) => y < 300).map(({ x }) => x));
    expect(topRight).toBeCloseTo(4000 + (8 * 340) / 480 - slope, 6);
  });

  it('GLS1 counts the film of the glass, and what lies on the body only once', () => {
    const [before, after] = [bare(), printed()].map((job) => sideTotals(jobLayout(job)[0]!));
    expect(after!.panelCount).toBe(before!.panelCount + 1);
    expect(after!.netAreaMm2).toBe(before!.netAreaMm2);
    expect(after!.coveredAreaMm2 - before!.coveredAreaMm2).toBeCloseTo(1224 * 464, 6);
  });

  it('GLS2 warns of the law, and finds film that does not fit its glass', () => {
    expect(codes(bare())).not.toContain('window-law');
    const found = layoutFindings(printed(), jobLayout(printed()));
    const law = found.find(({ code }) => code === 'window-law')!;
    expect(law.severity).toBe('warn');
    expect(law.message).toContain('FMVSS 205');
    expect(findingKey(law)).toBe(`window-law/s1///w1///${jobFilms(printed())[1]!.id}`);
    for (const code of ['window-too-small', 'window-near-seal', 'window-film-solid', 'window-too-wide'])
      expect(codes(printed())).not.toContain(code);
    expect(codes(withFilm(printed(), { sealMm: 4.9 }))).toContain('window-near-seal');
    expect(codes(withFilm(printed(), { sealMm: 240 }))).toContain('window-too-small');
    expect(glassOf(withFilm(printed(), { sealMm: 240 }))).toBeUndefined();
    expect(codes(withFilm(printed(), { filmId: FIRST_FILM_ID }))).toContain('window-film-solid');
    const large = printed({ rect: { xMm: 2900, yMm: 200, widthMm: 1700, heightMm: 1600 } });
    const wide = layoutFindings(large, jobLayout(large)).filter(({ where }) => where.panelId === 'w1-glass');
    expect(wide.map(({ code, severity }) => `${code} ${severity}`)).toEqual(['window-too-wide stop']);
    const onBody = edited(
      panelsFilmSet(printed(), { sideId: 's1', panelIds: ['p1'], filmId: jobFilms(printed())[1]!.id }),
    );
    expect(codes(onBody)).toContain('perforated-on-body');
  });

  it('GLS3 takes an optically clear laminate alone, of whatever kind', () => {
    const film: ShelfFilm = {
      id: 'f',
      use: 'film',
      name: 'See-through 140',
      kind: 'calendered-polymeric',
      finish: '',
      thicknessUm: 140,
      adhesive: '',
      serviceYears: 3,
      widthMm: 1370,
      lengthMm: 50_000,
      pricePerM2: 14,
      lotNumber: '',
      stretchLimitPercent: 2,
      perforated: true,
    };
    const { perforated: _, stretchLimitPercent: __, use: ___, ...same } = film;
    const cloudy: ShelfLaminate = { ...same, use: 'laminate', name: 'Matt 80' };
    const clear: ShelfLaminate = { ...cloudy, name: 'Clear 30', kind: 'cast', opticallyClear: true };
    const order = { film, hasDifficultGround: false, promisedYears: undefined, orderedFinish: '' };
    const said = (laminate: ShelfLaminate | undefined) =>
      pairingFindings({ ...order, laminate }).map(({ code, severity }) => `${code} ${severity}`);
    expect(said(clear)).toEqual([]);
    expect(said(cloudy)).toEqual(['pair-not-clear stop']);
    expect(said(undefined)).toEqual(['pair-no-laminate warn']);
    const named = (laminate: ShelfLaminate | undefined) =>
      kindPairingFindings(film, laminate).map(({ code }) => code);
    expect([named(clear), named(cloudy), named(undefined)]).toEqual([
      [],
      ['pair-not-clear'],
      ['pair-no-laminate'],
    ]);
    const note = { code: 'pair-not-clear', by: 'Dana', note: 'Data sheet of Matt 80, page 2.' } as const;
    expect(pairingFindings({ ...order, laminate: cloudy }, [note])[0]!.severity).toBe('note');
  });

  it('nests and dries the film of the glass by itself, and counts its time of installing', () => {
    const job = printed({}, { production: { ...DEFAULT_PRODUCTION, printStart: '2026-03-09T07:30' } });
    const films = filmProductions(jobProduction(job, jobLayout(job)));
    const placed = films.map(({ plan }) => plan.placements.map(({ panelId }) => panelId));
    expect(placed[1]!.map((id) => id.split('/').at(-1))).toEqual(['w1-glass']);
    expect(placed[0]!.join()).not.toContain('glass');
    const [without, withGlass] = [bare(), printed()].map((each) => jobInstall(each, jobLayout(each))![0]!);
    expect(withGlass!.panelCount).toBe(without!.panelCount + 1);
    expect(withGlass!.minutes).toBeGreaterThan(without!.minutes);
    expect(withGlass!.squareMeters - without!.squareMeters).toBeCloseTo(1.224 * 0.464, 9);
  });

  it('is for windows of the job and films of the job; what is no window any more is bare', () => {
    const refused = windowPrint(bare({ kind: 'lamp' }), { sideId: 's1', areaId: 'w1' });
    expect(refused.ok || refused.problem.code).toBe('window-kind');
    const lamp = edited(
      itemSet(printed(), { sideId: 's1', itemId: 'w1', list: 'noFilmAreas', change: { kind: 'lamp' } }),
    );
    expect(lamp.sides[0]!.noFilmAreas[0]).not.toHaveProperty('windowFilm');
    const off = edited(windowFilmSet(printed(), { sideId: 's1', areaId: 'w1', windowFilm: null }));
    expect(off.sides[0]!.noFilmAreas).toEqual([rear]);
    const bad = (change: Partial<NoFilmArea>) =>
      jobInvariantProblem(jobWithSide({ noFilmAreas: [{ ...rear, ...change }] }))?.code;
    const windowFilm = { filmId: 'f9', sealMm: 8, bleedMm: 25 };
    expect(bad({ windowFilm })).toBe('film-unknown');
    expect(bad({ kind: 'lamp', windowFilm: { ...windowFilm, filmId: FIRST_FILM_ID } })).toBe('window-film');
    const filmId = jobFilms(printed())[1]!.id;
    expect(glassOf(edited(filmRemove(printed(), { filmId })))!.filmId).toBe(FIRST_FILM_ID);
    // The second window goes on the film that the first brought.
    const two = edited(
      windowPrint(
        {
          ...printed(),
          sides: [
            {
              ...printed().sides[0]!,
              noFilmAreas: [...printed().sides[0]!.noFilmAreas, { ...rear, id: 'w2', name: 'Other' }],
            },
          ],
        },
        { sideId: 's1', areaId: 'w2' },
      ),
    );
    expect(jobFilms(two)).toHaveLength(2);
    expect(jobSample().otherFilms).toBeUndefined();
    // A saved layout knows no film of the job that it came from.
    const saved = savedLayoutFromSide(printed().sides[0]!, printed().scale, 'Van, left');
    const onOther = applySavedLayout(jobSample(), 's1', saved);
    expect(onOther.ok && onOther.value.sides[0]!.noFilmAreas[0]).toMatchObject({ kind: 'window' });
    expect(onOther.ok && onOther.value.sides[0]!.noFilmAreas[0]).not.toHaveProperty('windowFilm');
    const moved = edited(panelsFilmSet(two, { sideId: 's1', panelIds: ['w2-glass'], filmId: FIRST_FILM_ID }));
    expect(moved.sides[0]!.noFilmAreas.map((area) => area.windowFilm!.filmId)).toEqual([
      filmId,
      FIRST_FILM_ID,
    ]);
  });
});
