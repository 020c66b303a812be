import { describe, expect, it } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import { applySavedLayout } from '../../../core/job/edits/saved-layout.ts';
import { jobWithVehicle, type SideToBegin } from '../../../core/job/edits/vehicle-begin.ts';
import type { Job } from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { artworkOnSides } from '../../../core/proposal/artwork-on-sides.ts';
import type { PageSeen } from '../../../core/proposal/page-seen.ts';

const empty = jobEmpty({
  id: 'j',
  number: 'BM-31',
  name: 'Bookmobile',
  customer: 'Library',
  date: '2026-05-04',
});
const artwork = { fileName: 'bm.pdf', sha256: 'a'.repeat(64), sizeBytes: 9, box: 'trim' } as const;

const SIDES: SideToBegin[] = [
  { role: 'left', widthMm: 6120, heightMm: 2140 },
  { role: 'right', widthMm: 6120, heightMm: 2140 },
  { role: 'rear', widthMm: 2010, heightMm: 2140 },
];

function begun(sides: readonly SideToBegin[] = SIDES): Job {
  const made = jobWithVehicle(empty, sides);
  if (!made.ok) throw new Error(made.problem.message);
  return made.value;
}

const page = (number: number, width: number, height: number, words = ''): PageSeen => ({
  number,
  extent: { x: 0, y: 0, width, height },
  lettering:
    words === ''
      ? []
      : [{ text: words, area: { x: 2, y: 2, width: 60, height: 4 }, words: [], strokes: [], sizeMm: 4 }],
  painted: [],
});

const placedOn = (job: Job, pages: readonly PageSeen[]) => {
  const placed = artworkOnSides({ ...job, artwork }, pages);
  if (!placed.ok) throw new Error(placed.problem.message);
  return placed.value;
};

const pagesOf = ({ sides }: Job) => sides.map(({ code, page: on }) => [code, on]);

describe('a job that begins with its vehicle', () => {
  it('has sides of the sizes that were typed, on no page, and panels of them', () => {
    const job = begun();
    expect(job.sides.map((side) => [side.code, sideOutline(side, job.scale).width, side.page])).toEqual([
      ['LH', 6120, undefined],
      ['RH', 6120, undefined],
      ['REAR', 2010, undefined],
    ]);
    expect(jobLayout(job).map(({ panels }) => panels[0]!.net.height)).toEqual([2140, 2140, 2140]);
  });

  it('takes the items of a saved layout, mirrored on the opposite side', () => {
    const savedLayout = {
      name: 'Step van, left',
      widthMm: 6120,
      heightMm: 2140,
      bodyLines: [{ name: 'Door edge', kind: 'body-gap', direction: 'vertical', atMm: 1310 } as const],
      ground: [],
      noFilmAreas: [],
    };
    const job = begun([
      { ...SIDES[0]!, savedLayout },
      { ...SIDES[1]!, savedLayout },
    ]);
    expect(job.sides.map(({ bodyLines }) => bodyLines[0]!.atMm)).toEqual([1310, 6120 - 1310]);
    expect(applySavedLayout(job, 'nobody', savedLayout).ok).toBe(false);
  });

  it('asks for a size where none was given', () => {
    expect(jobWithVehicle(empty, [])).toMatchObject({ ok: false, problem: { code: 'side-none' } });
  });
});

describe('artwork that comes after the vehicle', () => {
  it('is placed by what the pages say and by their sizes; sides keep their finished size and their seams', () => {
    const job = begun();
    const before = job.sides.map((side) => side.layout);
    const { job: placed, remarks } = placedOn(job, [
      page(1, 201, 214),
      page(2, 612, 214, 'Right side'),
      page(3, 612, 214, 'Left side'),
    ]);
    expect(placed.scale).toBe(10);
    expect(pagesOf(placed)).toEqual([
      ['LH', 3],
      ['RH', 2],
      ['REAR', 1],
    ]);
    expect(placed.sides.map((side) => sideOutline(side, placed.scale))).toEqual(
      job.sides.map((side) => sideOutline(side, job.scale)),
    );
    expect(placed.sides.map((side) => side.layout)).toEqual(before);
    expect(remarks).toEqual([]);
  });

  it('finds the scale by the sizes of the sides where no page states it', () => {
    // 6120 ÷ 245 and 2140 ÷ 85.6 are nearest to 1:25; the vehicle's own size would allow 1:20 as well.
    const { job: placed } = placedOn(begun(SIDES.slice(0, 1)), [page(1, 244.8, 85.6)]);
    expect([placed.scale, placed.sides[0]!.page]).toEqual([25, 1]);
  });

  it('says which side found no page, which part no side, and where sizes differ', () => {
    const {
      job: placed,
      remarks,
      placed: count,
    } = placedOn(begun([SIDES[0]!, SIDES[2]!]), [
      page(1, 618, 214, 'Left side 1:10'),
      page(2, 300, 120, 'Roof'),
    ]);
    expect(count).toBe(1);
    expect(pagesOf(placed)).toEqual([
      ['LH', 1],
      ['REAR', undefined],
    ]);
    expect(remarks).toEqual([
      'LH is 6120 mm × 2140 mm, and page 1 shows 6180 mm × 2140 mm of it: the side keeps its size, centered on that part.',
      'REAR is on no page yet: no free part of the artwork is 2010 mm × 2140 mm at 1:10.',
      'A part of page 2, 300 mm × 120 mm as drawn, matches no side that waits for artwork.',
    ]);
    // 6180 − 6120 is 60 mm, 3 mm of them drawn at each end.
    expect(placed.sides[0]!.artworkRect).toMatchObject({ xMm: 3, widthMm: 612 });
    expect(sideOutline(placed.sides[1]!, placed.scale)).toMatchObject({ width: 2010, height: 2140 });
  });

  it('never puts the right side where a page says that it shows the left one', () => {
    const { job: placed } = placedOn(begun([SIDES[1]!]), [page(1, 612, 214, 'Left side 1:10')]);
    expect(pagesOf(placed)).toEqual([['RH', undefined]]);
  });

  it('leaves sides that are on a page where they are', () => {
    const job = begun([SIDES[0]!]);
    const { job: first } = placedOn(job, [page(1, 612, 214, 'Left side 1:10')]);
    expect(placedOn(first, [page(1, 306, 107, 'Left side 1:20')]).job.sides).toEqual(first.sides);
  });
});
