import { describe, expect, it } from 'vitest';
import type { SidePhoto } from '../../../core/vehicle/side-photo.ts';
import { breakable } from '../../support/breakable.ts';
import { lap, panel, split } from '../job/sample-job.ts';
import { codesOf, findingOf, findingsOf, jobClean, noFilmAreaSample } from './sample-findings.ts';

describe('findings about panels', () => {
  it('FIT3 a sound job has nothing to find', () => {
    expect(findingsOf(jobClean())).toEqual([]);
  });

  it('FIT3 stops a panel that is wider than the printable width', () => {
    // p4 is 1461 mm of image and twice 30 mm of border: 1521 mm, on 1525 − 10 − 10 = 1505 mm;
    // p2 needs exactly that.
    const job = jobClean();
    const found = findingOf({ ...job, printer: { ...job.printer, rollWidthMm: 1525 } }, 'panel-too-wide');
    expect(found).toEqual({
      code: 'panel-too-wide',
      severity: 'stop',
      where: { sideId: 's1', panelId: 'p4' },
      message:
        'Panel LH-01 needs 1521 mm of film across the roll, 16 mm more than the printable width of 1505 mm.',
      remedy: 'Move a seam, add one, reduce the border or the overlaps, or select a wider roll.',
    });
  });

  it('FIT4 stops a panel that is longer than the longest print or the roll', () => {
    const job = jobClean();
    const long = { ...job, printer: { ...job.printer, longestPrintMm: 3500 } };
    const codes = codesOf(long);
    expect(codes).toEqual(['panel-too-long', 'panel-too-long']);
    expect(findingsOf(long)[0]!.message).toBe(
      'Panel LH-01 needs 3551 mm of film along the roll, 51 mm more than the longest print of 3500 mm.',
    );
    const roll = { ...job, printer: { ...job.printer, rollLengthMm: 3549 } };
    expect(findingsOf(roll)[1]!.message).toContain('2 mm more than the length of the roll of 3549 mm');
  });

  it('FIT4 speaks in the unit of the job', () => {
    const job = jobClean({}, { displayUnit: 'in' });
    const found = findingOf({ ...job, printer: { ...job.printer, rollWidthMm: 1525 } }, 'panel-too-wide');
    expect(breakable(found.message)).toContain(
      '59 7/8 in of film across the roll, 5/8 in more than the printable width of 59 1/4 in',
    );
  });

  it('PNF1 warns of a strip that is narrower than the shop handles', () => {
    const layout = split(
      'vertical',
      [lap('j1', 1290), lap('j2', 1413)],
      [panel('p1'), panel('p2'), panel('p3')],
    );
    const job = jobClean({
      layout,
      noFilmAreas: [noFilmAreaSample({ rect: { xMm: 1413, yMm: 0, widthMm: 4717, heightMm: 2270 } })],
    });
    const found = findingOf(job, 'panel-sliver');
    expect(found).toMatchObject({ severity: 'warn', where: { panelId: 'p2' }, figure: 123 });
    expect(found.message).toBe('Panel LH-01 is only 123 mm wide when installed, under the limit of 150 mm.');
    const low = jobClean({ layout: split('horizontal', [lap('j1', 2140)], [panel('p1'), panel('p2')]) });
    expect(findingOf(low, 'panel-sliver').message).toContain('is only 130 mm high');
    expect(codesOf({ ...low, limits: { ...low.limits, minPanelMm: 130 } })).not.toContain('panel-sliver');
  });

  it('PNF2 notes a panel that an opening swallows, and one that is mostly opening', () => {
    const layout = split('vertical', [lap('j1', 1000)], [panel('p1'), panel('p2')]);
    const whole = jobClean({
      layout,
      noFilmAreas: [noFilmAreaSample({ rect: { xMm: -5, yMm: -5, widthMm: 1010, heightMm: 2290 } })],
    });
    expect(findingOf(whole, 'panel-dropped')).toMatchObject({
      severity: 'note',
      where: { sideId: 's1', panelId: 'p1' },
    });
    // 1000 × 2270 less 920 × 2270 leaves 8 %.
    const most = jobClean({
      layout,
      noFilmAreas: [noFilmAreaSample({ rect: { xMm: 0, yMm: 0, widthMm: 920, heightMm: 2270 } })],
    });
    expect(findingOf(most, 'panel-mostly-no-film').message).toBe(
      'No-film areas take 92 % of panel LH-02 (1000 mm × 2270 mm).',
    );
    const fewer = jobClean({
      layout,
      noFilmAreas: [noFilmAreaSample({ rect: { xMm: 0, yMm: 0, widthMm: 899, heightMm: 2270 } })],
    });
    expect(codesOf(fewer)).not.toContain('panel-mostly-no-film');
  });

  it('PNF3 stops a side that openings cover whole', () => {
    const job = jobClean({
      noFilmAreas: [noFilmAreaSample({ rect: { xMm: -5, yMm: -5, widthMm: 6200, heightMm: 2290 } })],
    });
    expect(findingOf(job, 'side-without-panels')).toMatchObject({
      severity: 'stop',
      where: { sideId: 's1' },
    });
  });
});

describe('findings about missing artwork', () => {
  const page = (x: number, y: number, right: number, bottom: number) => ({
    pages: new Map([[1, { x, y, width: right - x, height: bottom - y }]]),
  });

  it('ARF1 warns where the page ends under the bleed', () => {
    // The side reaches from 31 to 644 drawn; a page that ends at 646.5 leaves 25 of 60 mm at the right.
    const facts = page(0, 0, 646.5, 311);
    expect(codesOf(jobClean(), facts)).toEqual([
      'artwork-missing-under-bleed',
      'artwork-missing-under-bleed',
    ]);
    const found = findingsOf(jobClean(), facts)[0]!;
    expect(found).toMatchObject({ severity: 'warn', where: { sideId: 's1', panelId: 'p4' }, figure: 35 });
    expect(found.message).toBe(
      'Panel LH-01 has no artwork for its bleed: 35 mm of 60 mm at the right lies off the page.',
    );
  });

  it('ARF2 stops where the page ends under an overlap', () => {
    // The last seam is 9 mm from the right edge of the side; the page ends with the side, 5 mm short of the 14.
    const layout = split(
      'vertical',
      [lap('j1', 3000), lap('j2', 6121)],
      [panel('p1'), panel('p2'), panel('p3')],
    );
    const facts = page(0, 0, 644, 311);
    const found = findingOf(
      jobClean({ layout, bleed: { top: 40, right: 0, bottom: 70, left: 50 } }),
      'artwork-missing-under-overlap',
      facts,
    );
    expect(found).toMatchObject({ severity: 'stop', where: { panelId: 'p2' } });
    expect(found.message).toBe(
      'Panel LH-02 has no artwork for its overlap: 5 mm of 14 mm at the right lies off the page.',
    );
  });

  it('ARF3 stops a side that leaves its page, and says it once', () => {
    const facts = page(32.7, 0, 640, 311);
    expect(codesOf(jobClean(), facts)).toEqual(['side-beyond-page']);
    expect(findingOf(jobClean(), 'side-beyond-page', facts).message).toBe(
      'Side LH reaches beyond page 1: 4 mm at the right and 1.7 mm at the left, as drawn.',
    );
    expect(codesOf(jobClean(), page(700, 0, 800, 311))).toEqual(['side-off-page']);
  });

  it('stops a side on a page that the artwork does not have', () => {
    const found = findingOf(jobClean({ page: 3 }), 'page-missing');
    expect(found.message).toBe('Side LH is drawn on page 3, but the artwork has one page.');
    expect(found).toMatchObject({ severity: 'stop', where: { sideId: 's1', page: 3 } });
  });

  it('ARF5 stops a job without artwork, or whose artwork file has changed', () => {
    const { artwork, ...bare } = jobClean();
    expect(codesOf(bare)).toEqual(['artwork-none']);
    expect(codesOf(jobClean(), { artworkSha256: artwork!.sha256 })).toEqual([]);
    expect(findingOf(jobClean(), 'artwork-changed', { artworkSha256: 'b2'.repeat(32) }).message).toBe(
      'The artwork file “bookmobile.pdf” is not the one that was imported: its content has changed.',
    );
  });

  it('ARF6 warns where two sides print the same artwork', () => {
    const job = jobClean();
    // From x = 601 and y = 201 drawn, the second rectangle shares 43 × 43 mm with 31…644 × 17…244.
    const other = {
      ...job.sides[0]!,
      id: 's2',
      code: 'RR',
      layout: panel('p9'),
      artworkRect: { xMm: 601, yMm: 201, widthMm: 97, heightMm: 89 },
    };
    const found = findingOf({ ...job, sides: [...job.sides, other] }, 'sides-overlap-on-page');
    expect(found).toMatchObject({ severity: 'warn', where: { sideId: 's1', itemId: 's2', page: 1 } });
    expect(found.message).toBe('Sides LH and RR share 43 mm × 43 mm of page 1, as drawn.');
    expect(codesOf({ ...job, sides: [...job.sides, { ...other, page: 2 }] })).not.toContain(
      'sides-overlap-on-page',
    );
  });

  it('ARF7 warns of an outer edge without bleed', () => {
    const found = findingOf(jobClean({ bleed: { top: 0, right: 60, bottom: 0, left: 50 } }), 'bleed-none');
    expect(found.message).toBe(
      'Side LH has no bleed at its top and bottom edges, so nothing is left there to tuck or trim.',
    );
  });
});

describe('findings about measures', () => {
  it('SC3 warns where width and height disagree with the vehicle by different shares', () => {
    // 6130 ÷ 6000 = +2.17 %, 2270 ÷ 2290 = −0.87 %.
    const found = findingOf(jobClean({ measured: { widthMm: 6000, heightMm: 2290 } }), 'side-proportion');
    expect(found).toMatchObject({ severity: 'warn', where: { sideId: 's1' } });
    expect(found.message).toBe(
      'The proportions of side LH disagree with the vehicle: 2.17 % too wide and 0.87 % too low (6130 mm × 2270 mm drawn against 6000 mm × 2290 mm measured).',
    );
  });

  it('SC4 warns of the scale where both ways are off alike, and gives the one that fits', () => {
    // Both 1.5 % short of the vehicle: 6130 ÷ 6223.35, 2270 ÷ 2304.57; the scale that fits is 10 ÷ 0.985.
    const measured = { widthMm: 6130 / 0.985, heightMm: 2270 / 0.985 };
    const found = findingOf(jobClean({ measured }), 'side-scale');
    expect(found.message).toBe(
      'Side LH is 1.5 % too narrow and 1.5 % too low at scale 1:10 (6130 mm × 2270 mm drawn against 6223.4 mm × 2304.6 mm measured).',
    );
    expect(found.remedy).toBe('Set the scale to 1:10.1523 if the measures are right.');
  });

  it('PH9 goes by the photo where nobody has measured, with half a percent more and as an estimate', () => {
    // Taken square to the side, 10 mm a pixel: 6000 mm from end to end, 2270 mm from top to bottom.
    const at = (x: number, y: number) => ({ xPx: x / 10, yPx: y / 10 });
    const photo = (widthMm: number): SidePhoto => ({
      sha256: 'a'.repeat(64),
      fileName: 'side.jpg',
      mediaType: 'image/jpeg',
      widthPx: 700,
      heightPx: 300,
      sizeBytes: 9,
      points: [
        { ...at(0, 0), xMm: 0, yMm: 0 },
        { ...at(1000, 0), xMm: 1000, yMm: 0 },
      ],
      straightLines: [],
      isSquareOn: true,
      lengths: [
        { from: at(0, 500), to: at(widthMm, 520), of: 'width' },
        { from: at(90, 0), to: at(60, 2270), of: 'height' },
      ],
    });
    const found = findingOf(jobClean({ photo: photo(6000) }), 'side-proportion');
    expect(found.message).toContain(
      '(6130 mm × 2270 mm drawn against 6000 mm × 2270 mm measured on the photo, an estimate).',
    );
    expect(found.remedy).toMatch(/^Confirm the size by tape\./);
    expect(codesOf(jobClean({ photo: photo(6130 / 1.009) }))).toEqual([]);
    // The tape has the word.
    const measured = { widthMm: 6130, heightMm: 2270 };
    expect(codesOf(jobClean({ photo: photo(6000), measured }))).toEqual([]);
  });

  it('SC4 is content within the limit', () => {
    // 0.49 % and 0.31 %: both under 0.5 %.
    // But 29.9 mm of width are more than an outer edge forgives; 7 mm of height are not.
    expect(codesOf(jobClean({ measured: { widthMm: 6130 / 1.0049, heightMm: 2270 / 1.0031 } }))).toEqual([
      'check-in-off',
    ]);
  });
});
