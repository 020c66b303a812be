import { describe, expect, it } from 'vitest';
import { seamStretches } from '../../../core/checks/report/seam-stretches.ts';
import type { Job } from '../../../core/job/schema.ts';
import { seamLook } from '../../../core/layout/seam-look.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { seamPictureWindow, seamSheet } from '../../../core/sheets/seam-sheet.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { sheetFonts } from '../../../main/tasks/output-sheets.ts';
import { itemBounds } from '../../support/item-bounds.ts';
import { smallJob } from '../../support/small-job.ts';
import { isOutside, overlappingTexts, textsOf } from './sheet-checks.ts';

const stretches = (job: Job) => seamStretches(job, jobLayout(job), undefined);
const withSide = (change: Partial<Job['sides'][number]>, job = smallJob()): Job => ({
  ...job,
  sides: [{ ...job.sides[0]!, ...change }],
});
const area = (yMm: number, heightMm: number, name = 'Logo') => ({
  id: `area-${yMm}`,
  name,
  rect: { xMm: 0, yMm, widthMm: 3100, heightMm },
});
const drawn = (job: Job) => {
  const pictures = new Map(
    stretches(job).map(({ seam }) => [seam.id, { widthPx: 1, heightPx: 1, rgb: new Uint8Array(3) }] as const),
  );
  return seamSheet(job, stretches(job), { fonts: sheetFonts(), pictures });
};
const words = (job: Job) =>
  drawn(job)
    .flatMap((sheet) => textsOf(sheet).map(({ text }) => text))
    .join('\n');

describe('the sheet of seams', () => {
  it('SL3 takes the stretch that crosses a no-seam area, else the middle of what has film', () => {
    const [plain] = stretches(smallJob());
    const { start, end } = plain!.seam.span;
    expect(plain!.alongMm).toBe((start + end) / 2);
    const [crossing] = stretches(withSide({ noSeamAreas: [area(200, 100)] }));
    expect([crossing!.alongMm, crossing!.crosses]).toEqual([250, '“Logo”']);
    const noFilm = { ...area(0, 900, 'Window'), kind: 'window' as const, clearanceMm: 20 };
    const [below] = stretches(withSide({ noFilmAreas: [noFilm], noSeamAreas: [area(200, 100)] }));
    // No film is on the area there, so the seam is looked at below the window.
    expect(below!.alongMm).toBe((900 + end) / 2);
    expect(below!.crosses).toBeUndefined();
    expect(stretches(withSide({ page: undefined }))).toEqual([]);
  });

  it('SL3 draws the stretch at 1:1 with a line to check the print by, in the unit of the job', () => {
    const sheets = drawn(smallJob());
    const items = sheets.flatMap(({ items }) => items);
    const picture = items.find(({ tag }) => tag === 'seam picture');
    const window = seamPictureWindow(smallJob(), stretches(smallJob())[0]!);
    expect(picture).toMatchObject({ rect: { width: window.width, height: window.height } });
    const line = items.find(({ tag, kind }) => tag === 'check line' && kind === 'line');
    expect(line && 'from' in line && line.to.x - line.from.x).toBe(100);
    const inches = drawn({ ...smallJob(), displayUnit: 'in' }).flatMap(({ items }) => items);
    const fourInches = inches.find(({ tag, kind }) => tag === 'check line' && kind === 'line');
    expect(fourInches && 'from' in fourInches && fourInches.to.x - fourInches.from.x).toBeCloseTo(101.6, 9);
    for (const text of [
      'SCALE 1:1',
      'This line is 100 mm long',
      'Look from 3 m',
      '1 mm away from its neighbor',
    ])
      expect(words(smallJob()).replaceAll('\u00a0', ' ')).toContain(text);
  });

  it('SL3 says how far panels are off as the job has it', () => {
    const job: Job = { ...smallJob(), sheets: { seams: { apartMm: -2, alongMm: 0.5 } } };
    const text = words(job).replaceAll('\u00a0', ' ').replaceAll('\n', ' ');
    expect(text).toContain('2 mm toward its neighbor and 0.5 mm off along the seam');
  });

  it('SL3 says so where no panels meet', () => {
    const job = withSide({ layout: { kind: 'panel', id: 'p1' } });
    expect(words(job)).toContain('there is none to show');
  });

  it.each(['A4', 'A3', 'Letter', 'Tabloid'] as const)('SL3 keeps to a page of %s', (mapSheet) => {
    const base = withSide({
      noSeamAreas: [area(200, 100, 'A name of an area that goes on and on '.repeat(4))],
    });
    const job = { ...base, output: { ...base.output, mapSheet } };
    const { widthMm: width, heightMm: height } = SHEET_SIZES[mapSheet];
    for (const sheet of drawn(job)) {
      expect(overlappingTexts(sheet)).toEqual([]);
      const page = { x: 0, y: 0, width, height };
      expect(sheet.items.filter((item) => isOutside(itemBounds(item), page))).toEqual([]);
    }
  });

  it('shows the vehicle where no film is', () => {
    const seam = {
      direction: 'vertical',
      joint: 'lap',
      at: 5,
      top: 'second',
      firstMm: 2,
      secondMm: 2,
      squareShare: 1,
    } as const;
    const window = { x: 0, y: 0, width: 10, height: 4 };
    const picture = { widthPx: 10, heightPx: 4, pixels: new Uint8Array(120).fill(200), channels: 3 } as const;
    const bare = [
      [
        { x: 2, y: 1 },
        { x: 4, y: 1 },
        { x: 4, y: 3 },
        { x: 2, y: 3 },
      ],
    ];
    const looked = seamLook(seam, picture, window, { apartMm: 0, alongMm: 0 }, bare);
    const at = (x: number, y: number) => looked[(y * 10 + x) * 3];
    expect([at(1, 1), at(2, 1), at(3, 2), at(1, 2), at(2, 3)]).toEqual([200, 118, 118, 200, 200]);
  });
});
