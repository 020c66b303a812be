import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../core/findings/finding.ts';
import { FIRST_FILM_ID } from '../../../core/job/job-films.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { filmProductions, jobProduction } from '../../../core/production/job-production.ts';
import { jobStrips } from '../../../core/production/job-strips.ts';
import { filmTickets } from '../../../core/sheets/film-tickets.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { bookmobileJob, dropsRegion, sideOf, testFonts } from './fixture.ts';
import { textsOf } from './sheet-checks.ts';

const fonts = testFonts();

/** A side on film A, and one on film B but for its last panel. */
function twoFilms(over: Partial<Job> = {}): Job {
  const layout = dropsRegion('drop', 6100, 5, () => ({ firstMm: 20, secondMm: 20 }));
  const onFlat =
    layout.kind === 'split'
      ? {
          ...layout,
          parts: layout.parts.with(4, { kind: 'panel', id: 'drop-5', filmId: FIRST_FILM_ID } as const),
        }
      : layout;
  const base = bookmobileJob({
    sides: [
      sideOf('VAN', 'Van', { width: 1300, height: 2100 }),
      sideOf('TR', 'Trailer', { width: 6100, height: 2100 }, { layout: onFlat, filmId: 'flat' }),
    ],
    sheets: { ticket: { cost: true } },
    production: { ...DEFAULT_PRODUCTION, printStart: '2026-03-09T07:30' },
  });
  const flat = { name: 'Roadway 75', kind: 'calendered-polymeric', finish: 'matt', lotNumber: 'B4' } as const;
  return {
    ...base,
    otherFilms: [
      { id: 'flat', film: flat, printer: { ...base.printer, name: 'Short table', rollWidthMm: 1370 } },
    ],
    ...over,
  };
}

const text = (sheets: Parameters<typeof textsOf>[0][]) =>
  sheets
    .flatMap(textsOf)
    .map((item) => item.text)
    .join('\n');

describe('sheets of a job with several films', () => {
  it('TK20 gives each film ticket pages of its own, with its panels, material, printer and findings', () => {
    const job = twoFilms();
    const layouts = jobLayout(job);
    const production = jobProduction(job, layouts);
    const finding = (message: string, where: Finding['where']): Finding => ({
      code: 'x',
      severity: 'note',
      where,
      message,
      remedy: '',
    });
    const sideOf = (panelId: string) =>
      layouts.find(({ panels }) => panels.some(({ id, filmId }) => id === panelId && filmId !== 'flat'))!.side
        .id;
    const findings = [
      finding('Said of all.', {}),
      finding('Said of B.', { filmId: 'flat' }),
      finding('Said of a panel on A.', { panelId: 'drop-5' }),
      finding('Said of a side on A.', { sideId: sideOf('drop-5') }),
      finding('Said of a side that has no panel.', { sideId: 'nowhere' }),
      finding('Said of a seam on B.', { sideId: sideOf('drop-5'), seamId: 'drop-seam-1' }),
      finding('Said of both.', { sideId: sideOf('drop-5'), seamId: 'drop-seam-4' }),
    ];
    const sheets = filmTickets(job, layouts, production, { fonts, findings });
    const [a, b] = ['Film A:', 'Film B: Roadway 75'].map((title) =>
      text(sheets.filter((sheet) => sheet.title.includes(title))),
    );
    expect(a).toContain('TR-05');
    expect(a).not.toContain('TR-04');
    expect(a).toContain('Said of a panel on A.');
    expect(a).not.toContain('Said of B.');
    expect(a).toContain('Estimates of all films together');
    expect(b).toContain('TR-04');
    expect(b).not.toContain('TR-05');
    expect(b).toContain('Short table');
    expect(b).toContain('B4');
    expect(b).toContain('Said of B.');
    expect(a).toContain('Said of a side on A.');
    for (const each of [a, b]) expect(each).toContain('Said of a side that has no panel.');
    const isOnB = layouts.some(
      ({ side, panels }) => side.id === sideOf('drop-5') && panels.some(({ filmId }) => filmId === 'flat'),
    );
    expect(b?.includes('Said of a side on A.')).toBe(isOnB);
    expect(a).not.toContain('Said of a seam on B.');
    expect(b).toContain('Said of a seam on B.');
    for (const each of [a, b]) expect(each).toContain('Said of both.');
    for (const each of [a, b]) expect(each).toContain('Said of all.');
    const alone = bookmobileJob({});
    const ofOne = [
      alone,
      jobLayout(alone),
      jobProduction(alone, jobLayout(alone)),
      { fonts, findings: [] },
    ] as const;
    expect(filmTickets(...ofOne)).toEqual(ticket(...ofOne));
  });

  it('numbers rolls and strips through all films', () => {
    const job = twoFilms({ output: { ...bookmobileJob({}).output, files: 'strips' } });
    const films = filmProductions(jobProduction(job, jobLayout(job)));
    const strips = films.flatMap((made) => jobStrips(job, made));
    expect(strips.map(({ number }) => number)).toEqual(strips.map((_, index) => index + 1));
    expect(new Set(strips.map(({ fileName }) => fileName)).size).toBe(strips.length);
    expect(strips.at(-1)!.rollNumber).toBe(films.reduce((sum, { plan }) => sum + plan.uses.length, 0));
  });

  it('names the film of each panel on map, labels and packing list, and of none where the job has one', () => {
    const job = twoFilms();
    const layouts = jobLayout(job);
    const map = text([...installMap(job, layouts, { fonts })]);
    expect(map).toContain('Film B, heat and time');
    expect(map).toContain('FILM B: TR 1, 2, 3, 4');
    expect(map).toContain('TR-04 · film B');
    expect(map).toContain('film A');
    const labels = text([...panelLabels(job, layouts, { fonts, sheet: LABEL_SHEETS['a4-2x4'] })]);
    expect(labels.match(/Film B: Roadway 75/g)).toHaveLength(4);
    expect(text([...packingList(job, layouts, { fonts })])).toContain('TR-05 · film A');
    const { otherFilms: _, ...one } = twoFilms();
    const sides = one.sides.map(({ filmId: __, ...side }) => ({
      ...side,
      layout: dropsRegion(side.id, 1200, 1),
    }));
    const alone = { ...one, sides };
    const all = text([
      ...installMap(alone, jobLayout(alone), { fonts }),
      ...panelLabels(alone, jobLayout(alone), { fonts, sheet: LABEL_SHEETS['a4-2x4'] }),
      ...packingList(alone, jobLayout(alone), { fonts }),
    ]);
    expect(all).not.toMatch(/film A|Film A|FILM A/);
  });
});
