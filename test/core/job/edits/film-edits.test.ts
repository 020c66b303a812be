import { describe, expect, it } from 'vitest';
import {
  filmAdd,
  filmRemove,
  filmSet,
  layoutReplace,
  panelSplit,
  panelsFilmSet,
  sideAdd,
  sideFilmSet,
  sideMirror,
} from '../../../../core/job/edits/edits.ts';
import { FIRST_FILM_ID, jobFilms, jobOnFilm, jobWithProduction } from '../../../../core/job/job-films.ts';
import { jobFromJson, jobToJson } from '../../../../core/job/job-json.ts';
import type { Job } from '../../../../core/job/schema.ts';
import { layoutsOnFilm } from '../../../../core/layout/film-layouts.ts';
import { jobLayout } from '../../../../core/layout/side-layout.ts';
import { edited, jobSample, lap, panel, split } from '../sample-job.ts';

const twoFilms = (): Job =>
  edited(
    filmSet(edited(filmAdd(jobSample(), { id: 'flat' })), {
      filmId: 'flat',
      change: {
        film: { name: 'Roadway matt', kind: 'calendered-polymeric', finish: 'matt', lotNumber: '' },
        laminate: null,
      },
    }),
  );

/** Film of each panel, by its id. */
const filmsOf = (job: Job) =>
  Object.fromEntries(jobLayout(job).flatMap(({ panels }) => panels.map(({ id, filmId }) => [id, filmId])));

describe('films of a job', () => {
  it('letters films in their order, gives a side one and a panel another', () => {
    const job = twoFilms();
    expect(jobFilms(job).map(({ letter, film }) => [letter, film.name])).toEqual([
      ['A', job.film.name],
      ['B', 'Roadway matt'],
    ]);
    expect(job.otherFilms![0]!.laminate).toBeUndefined();
    const onFlat = edited(sideFilmSet(job, { sideId: 's1', filmId: 'flat' }));
    const mixed = edited(
      panelsFilmSet(onFlat, { sideId: 's1', panelIds: ['p3', 'p4'], filmId: FIRST_FILM_ID }),
    );
    expect(filmsOf(mixed)).toEqual({ p1: 'flat', p2: 'flat', p3: FIRST_FILM_ID, p4: FIRST_FILM_ID });
    const [flat] = layoutsOnFilm(mixed, jobLayout(mixed), 'flat');
    expect(flat!.panels.map(({ id }) => id).toSorted()).toEqual(['p1', 'p2']);
    expect(jobFromJson(jobToJson(mixed))).toEqual({ ok: true, value: mixed });
    const back = edited(panelsFilmSet(mixed, { sideId: 's1', panelIds: ['p3', 'p4'], filmId: 'flat' }));
    expect(back.sides[0]!.layout).toEqual(onFlat.sides[0]!.layout);
  });

  it('refuses a film that the job does not have', () => {
    const job = twoFilms();
    expect(sideFilmSet(job, { sideId: 's1', filmId: 'gone' })).toMatchObject({
      problem: { code: 'film-unknown' },
    });
    const [side] = job.sides;
    const read = jobFromJson(
      jobToJson({ ...job, sides: [{ ...side!, filmId: 'flat' }] }).replace(
        /"filmId": "flat"/,
        '"filmId": "gone"',
      ),
    );
    expect(read).toMatchObject({ ok: false, problem: { code: 'film-unknown' } });
    const many = Array.from({ length: 24 }).reduce<Job>((now) => edited(filmAdd(now)), job);
    expect(jobFilms(many).at(-1)!.letter).toBe('Z');
    expect(filmAdd(many)).toMatchObject({ problem: { code: 'films-too-many' } });
  });

  it('keeps the film of a place when it is split, mirrored or laid out anew', () => {
    const job = edited(panelsFilmSet(twoFilms(), { sideId: 's1', panelIds: ['p2'], filmId: 'flat' }));
    const cut = edited(
      panelSplit(job, { sideId: 's1', panelId: 'p2', seams: 'horizontal', atMm: 1130, newPanelId: 'p9' }),
    );
    expect(filmsOf(cut)).toMatchObject({ p1: FIRST_FILM_ID, p2: 'flat', p9: 'flat' });
    // p2 lies from 1,290 to 2,710: most of the first new panel is A, most of the second B.
    const layout = split('vertical', [lap('x', 1400), lap('y', 2900)], [panel('a'), panel('b'), panel('c')]);
    const again = edited(layoutReplace(job, { sideId: 's1', layout }));
    expect(Object.values(filmsOf(again))).toEqual(
      jobLayout(again)[0]!.panels.map(({ net }) => (net.x === 1400 ? 'flat' : FIRST_FILM_ID)),
    );
    const [side] = job.sides;
    const right = { code: 'RH', name: 'Right side', page: 1, artworkRect: side!.artworkRect } as const;
    const both = edited(sideAdd(job, { id: 's2', side: { ...right, front: 'right' } }));
    const mirrored = edited(sideMirror(both, { fromSideId: 's1', toSideId: 's2' }));
    const onFlat = jobLayout(mirrored)[1]!.panels.filter(({ filmId }) => filmId === 'flat');
    expect(onFlat.map(({ net }) => [net.x, net.width])).toEqual([[6130 - 2710, 1420]]);
  });

  it('gives the panels of a film that is removed to the first, in one step', () => {
    const onFlat = edited(sideFilmSet(twoFilms(), { sideId: 's1', filmId: 'flat' }));
    const third = edited(filmAdd(onFlat, { id: 'third' }));
    const mixed = edited(panelsFilmSet(third, { sideId: 's1', panelIds: ['p1'], filmId: 'third' }));
    const left = edited(filmRemove(mixed, { filmId: 'flat' }));
    expect(filmsOf(left)).toEqual({ p1: 'third', p2: FIRST_FILM_ID, p3: FIRST_FILM_ID, p4: FIRST_FILM_ID });
    const none = edited(filmRemove(left, { filmId: 'third' }));
    expect(none.otherFilms).toBeUndefined();
    expect(none.sides[0]!.layout).toEqual(jobSample().sides[0]!.layout);
    expect(filmRemove(none, { filmId: FIRST_FILM_ID })).toMatchObject({ problem: { code: 'film-unknown' } });
    // The id of a film that is gone does not come back.
    const added = edited(filmAdd(edited(filmRemove(edited(filmAdd(jobSample())), { filmId: 'f5' }))));
    expect(added.otherFilms![0]!.id).toBe('f6');
  });

  it('keeps what production says of a film with that film, and the rest with the job', () => {
    const job = twoFilms();
    const changed = { ...job, ...jobWithProduction(job, 'flat', { ink: 'uv-cured', restHours: 3 }) };
    expect(jobOnFilm(changed, 'flat').production).toMatchObject({ ink: 'uv-cured', restHours: 3 });
    expect(jobOnFilm(changed, FIRST_FILM_ID).production).toMatchObject({ ink: 'eco-solvent', restHours: 3 });
    const cleared = { ...changed, ...jobWithProduction(changed, 'flat', { ink: undefined }) };
    expect(jobOnFilm(cleared, 'flat').production!.ink).toBe('eco-solvent');
    expect(jobOnFilm(cleared, 'flat').otherFilms).toBeUndefined();
    expect(jobOnFilm(jobSample(), 'flat')).toEqual(jobSample());
  });
});
