import { describe, expect, test } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import type { SavedLayout } from '../../../core/job/edits/saved-layout.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import type { Rect } from '../../../core/measure/rect.ts';
import { sidecarFromText } from '../../../core/proposal/sidecar.ts';
import { watchedJob } from '../../../core/proposal/watched-job.ts';
import type { ShelfFilm } from '../../../core/shop/shelf.ts';

const EMPTY = jobEmpty({
  id: 'watched',
  number: 'W-3',
  name: 'Bookmobile',
  customer: 'Alder County Library',
  date: '2026-03-09',
});
const page = (number: number, width: number, height: number) => ({
  number,
  extent: { x: 0, y: 0, width, height } as Rect<'drawn'>,
  lettering: [],
  painted: [],
});
const LAYOUT: SavedLayout = {
  name: 'Panel van',
  widthMm: 6000,
  heightMm: 2600,
  bodyLines: [{ name: 'Molding', kind: 'molding', direction: 'horizontal', atMm: 1100 }],
  ground: [],
  noFilmAreas: [],
};
const FILM: ShelfFilm = {
  use: 'film',
  id: 'f9',
  name: 'White cast film',
  kind: 'cast',
  finish: 'gloss',
  thicknessUm: 50,
  adhesive: '',
  serviceYears: 7,
  widthMm: 1372,
  lengthMm: 45_720,
  pricePerM2: 9,
  lotNumber: 'L-12',
  stretchLimitPercent: 15,
};
const SHOP = { savedLayouts: [LAYOUT], materials: [FILM] };

describe('the text beside an artwork', () => {
  test('names and values are read whatever their case, and lines that begin with # are passed over', () => {
    const text =
      '\uFEFF# for the bookmobiles\r\nJob number: W-3\r\nSAVED  layout: Panel van\r\nscale: 1:12.5\r\nUnit numbers: BM-07, BM-08\r\nvehicle: box body\r\n\r\nfilm = White cast film\r\n';
    expect(sidecarFromText(text)).toEqual({
      ok: true,
      value: {
        job: 'W-3',
        savedLayout: 'Panel van',
        scale: 12.5,
        unitNumbers: ['BM-07', 'BM-08'],
        kind: 'box-body',
        film: 'White cast film',
      },
    });
  });

  test.each([
    ['scale: 1:x', 'Write it as 1:10'],
    ['layout: Panel van', 'Begin it with one of'],
    ['scale: 10\nscale: 20', 'Say it once'],
    ['unit numbers: 7,,8', 'commas'],
    ['job:', 'letters'],
  ])('%j is refused with its line and what to write', (text, remedy) => {
    const read = sidecarFromText(text);
    expect(read.ok ? '' : read.problem.message).toContain(`Line ${text.split('\n').length} `);
    expect(read.ok ? '' : read.problem.remedy).toContain(remedy);
  });
});

describe('a job of a watched folder', () => {
  test('WF3: the saved layout lends its lines to the sides of its size, and its size tells the scale', () => {
    const made = watchedJob(EMPTY, [page(1, 240, 104), page(2, 80, 90)], { savedLayout: 'panel van' }, SHOP);
    const job = made.ok ? made.value : EMPTY;
    expect(job.scale).toBe(25);
    expect(job.sides.map((side) => sideOutline(side, job.scale).width)).toEqual([6000, 2000]);
    expect(job.sides.map(({ bodyLines }) => bodyLines.length)).toEqual([1, 0]);
  });

  test('WF3: the scale in the text counts for more, and a saved layout that then fits no side is said', () => {
    const said = { savedLayout: 'Panel van', scale: 20 };
    const made = watchedJob(EMPTY, [page(1, 240, 104)], said, SHOP);
    expect(made.ok ? '' : made.problem.message).toBe(
      'No side of the artwork at 1:20 is as large as the saved layout “Panel van”.',
    );
  });

  test('WF3: unit numbers and a film with its data sheet go into the job', () => {
    const said = { unitNumbers: ['7', '8', '9'], film: 'white CAST film', scale: 10 };
    const made = watchedJob(EMPTY, [page(1, 600, 260)], said, SHOP);
    const job = made.ok ? made.value : EMPTY;
    expect(job.vehicles[0]!.units.map(({ unitNumber }) => unitNumber)).toEqual(['7', '8', '9']);
    expect(job.film).toEqual({ name: 'White cast film', kind: 'cast', finish: 'gloss', lotNumber: 'L-12' });
    expect(job.production?.film).toEqual(FILM);
  });

  test.each([
    [{ savedLayout: 'Bus' }, 'The shop has no saved layout “Bus”.'],
    [{ film: 'Chrome' }, 'The shop knows no film “Chrome”.'],
  ])('WF3: what the shop does not know is said: %j', (said, message) => {
    const made = watchedJob(EMPTY, [page(1, 600, 260)], said, SHOP);
    expect(made.ok ? '' : made.problem.message).toBe(message);
  });
});
