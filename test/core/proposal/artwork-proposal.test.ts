import { describe, expect, it } from 'vitest';
import type { ScannedLine } from '../../../core/checks/scan/schema.ts';
import type { Rect } from '../../../core/measure/rect.ts';
import { artworkProposal, jobWithSides } from '../../../core/proposal/artwork-proposal.ts';
import type { PageSeen } from '../../../core/proposal/page-seen.ts';
import { vehicleKindProposed } from '../../../core/proposal/vehicle-kind.ts';
import { wrongWays } from '../../../core/proposal/wrong-ways.ts';
import { smallJob } from '../../support/small-job.ts';

const rect = (x: number, y: number, width: number, height: number): Rect<'drawn'> => ({
  x,
  y,
  width,
  height,
});

const line = (text: string, area: Rect<'drawn'>, over: Partial<ScannedLine> = {}): ScannedLine => ({
  text,
  area,
  words: [area],
  strokes: [],
  sizeMm: area.height,
  ...over,
});

/** Paper of 660 × 270 mm around a finished page of 612 × 214. */
const page = (number: number, over: Partial<PageSeen> = {}): PageSeen => ({
  number,
  extent: rect(-24, -28, 660, 270),
  finished: rect(0, 0, 612, 214),
  lettering: [],
  painted: [],
  ...over,
});

const slug = (text: string) => line(text, rect(10, 226, 90, 4));
const told = (pages: readonly PageSeen[]) => {
  const { sides, scale } = artworkProposal(pages);
  return wrongWays(
    pages,
    sides.map((side) => ({ ...side, name: `${side.role} side` })),
    scale,
  ).map(({ code, message }) => `${code}: ${message}`);
};

describe('the scale of artwork', () => {
  const scaleOf = (...pages: PageSeen[]) => {
    const { scale, evidence, others } = artworkProposal(pages).scale;
    return { scale, by: evidence.kind, others: others.map((other) => other.scale) };
  };

  it('is what the page states, before all that boxes allow', () => {
    expect(scaleOf(page(1, { lettering: [slug('Scale 1:20')] }))).toMatchObject({ scale: 20, by: 'stated' });
  });

  it('is found from both lengths of a side, turned to the nearest usual scale', () => {
    const lettering = [slug('finished 12,250 × 4,280 mm')];
    expect(scaleOf(page(1, { lettering }))).toMatchObject({ scale: 20, by: 'size' });
  });

  it('is found from both lengths where it is no usual one', () => {
    expect(scaleOf(page(1, { lettering: [slug('9180 x 3210 mm')] }))).toMatchObject({
      scale: 15,
      by: 'size',
    });
  });

  it('is found from the labels of a scale bar', () => {
    // 0 stands over the beginning of the bar, 2 m over its end: 166.7 mm for 2 m is 1:12.
    const lettering = [line('0', rect(20, 230, 2, 4)), line('2 m', rect(184.7, 230, 6, 4))];
    expect(scaleOf(page(1, { lettering }))).toMatchObject({ scale: 12, by: 'bar' });
  });

  it('is found from a dimension line under its figure', () => {
    const lettering = [line('2400', rect(110, 226, 20, 4))];
    const painted = [rect(60, 231, 120, 0.4)];
    expect(scaleOf(page(1, { lettering, painted }))).toMatchObject({ scale: 20, by: 'line' });
  });

  it('is found from one length of a side, in feet too', () => {
    // 612 mm × 10 are 20 ft 0.94 in.
    const lettering = [slug('20\'-1" over all')];
    expect(scaleOf(page(1, { lettering }))).toMatchObject({ scale: 10, by: 'length' });
  });

  it('is the likeliest at which every side is one of a vehicle, with the others named', () => {
    expect(scaleOf(page(1))).toEqual({ scale: 10, by: 'vehicle', others: [5, 12, 8, 16] });
    const small = page(1, { finished: rect(0, 0, 306, 107) });
    expect(scaleOf(small)).toMatchObject({ scale: 10, others: [20, 12, 25, 24, 16, 32] });
  });

  it('is not guessed from numbers that only decorate', () => {
    const lettering = [line('Since 1987', rect(100, 80, 90, 12)), line('24/7', rect(300, 80, 40, 12))];
    expect(scaleOf(page(1, { lettering })).by).toBe('vehicle');
  });
});

describe('the sides of artwork', () => {
  const sidesOf = (...pages: PageSeen[]) =>
    artworkProposal(pages).sides.map((side) => `${side.page} ${side.role} ${side.roleFrom}`);

  it('are left, right, rear in the order of pages that say nothing', () => {
    const rear = page(3, { finished: rect(0, 0, 205, 214) });
    expect(sidesOf(page(1), page(2), rear)).toEqual(['1 left order', '2 right order', '3 rear order']);
  });

  it('follow words, in whatever order the pages are', () => {
    const pages = [
      page(1, { finished: rect(0, 0, 205, 214), lettering: [slug('Wrap · Rear · 1:10')] }),
      page(2, { lettering: [slug('PASSENGER SIDE')] }),
      page(3),
    ];
    expect(sidesOf(...pages)).toEqual(['1 rear words', '2 right words', '3 left order']);
  });

  it('take no word of a slogan for a name', () => {
    const lettering = [line('Right on time', rect(100, 60, 200, 30)), line('left', rect(20, 20, 30, 9))];
    expect(sidesOf(page(1, { lettering }))).toEqual(['1 left order']);
  });

  it('follow FRONT at one of their edges', () => {
    const lettering = [line('FRONT', rect(590, 226, 16, 4))];
    expect(sidesOf(page(1, { lettering }), page(2))).toEqual(['1 right front', '2 left order']);
    expect(sidesOf(page(1, { lettering: [line('FRONT →', rect(20, 226, 16, 4))] }))).toEqual([
      '1 right front',
    ]);
  });

  it('are the parts of one page that stand apart, each on its own ground', () => {
    const both: PageSeen = {
      number: 1,
      extent: rect(0, 0, 700, 500),
      lettering: [line('Right side', rect(40, 470, 60, 5)), line('Left side', rect(40, 232, 60, 5))],
      painted: [
        rect(30, 20, 620, 210),
        rect(60, 60, 200, 40),
        rect(30, 255, 620, 210),
        rect(400, 300, 100, 40),
        rect(20, 480, 90, 4),
      ],
    };
    expect(artworkProposal([both]).sides).toEqual([
      { page: 1, rect: rect(30, 20, 620, 210), role: 'left', roleFrom: 'words' },
      { page: 1, rect: rect(30, 255, 620, 210), role: 'right', roleFrom: 'words' },
    ]);
  });

  it('are whole pages where letters stand apart on no ground of their own', () => {
    const loose: PageSeen = {
      number: 4,
      extent: rect(0, 0, 500, 180),
      lettering: [],
      painted: [rect(20, 20, 210, 60), rect(280, 90, 205, 60)],
    };
    expect(artworkProposal([loose]).sides[0]!.rect).toEqual(loose.extent);
  });

  it('become sides of the job in one edit, named and turned the right way', () => {
    const empty = smallJob({ sides: [] });
    const { sides } = artworkProposal([page(1), page(2)]);
    const edited = jobWithSides(empty, { scale: 20, kind: 'trailer', sides });
    expect(edited.ok && edited.value.scale).toBe(20);
    expect(edited.ok && edited.value.vehicles[0]!.kind).toBe('trailer');
    expect(
      edited.ok &&
        edited.value.sides.map(({ page, front, artworkRect }) => [page, front, artworkRect.widthMm]),
    ).toEqual([
      [1, 'left', 612],
      [2, 'right', 612],
    ]);
  });
});

describe('the kind of vehicle', () => {
  it('is read from the name of the artwork, else from words beside its sides', () => {
    expect(vehicleKindProposed('outreach-trailer_v3', [page(1)])).toBe('trailer');
    expect(vehicleKindProposed('Hill Bakery', [page(1, { lettering: [slug('Box truck, left')] })])).toBe(
      'box-body',
    );
    expect(vehicleKindProposed('semitrailer behind the truck', [])).toBe('trailer');
    expect(vehicleKindProposed('stepvan', [])).toBe('van');
  });

  it('is not taken from what the artwork says itself, nor from a part of a word', () => {
    const lettering = [line('Truck rental', rect(40, 40, 300, 60))];
    expect(vehicleKindProposed('Vanguard Carpets', [page(1, { lettering })])).toBeUndefined();
  });
});

describe('wrong ways are told', () => {
  it('where the front is at the wrong end of a side that words name', () => {
    const lettering = [slug('Left side'), line('FRONT', rect(590, 20, 16, 4))];
    expect(told([page(1, { lettering })])).toEqual([
      'front-at-wrong-end: Page 1 shows the front of the vehicle at its right edge, but the front of the left side is at the left.',
    ]);
  });

  it('where lettering is mirrored', () => {
    const lettering = [
      line('Borrow', rect(60, 40, 90, 20), { isMirrored: true }),
      line('begin', rect(60, 90, 90, 20)),
    ];
    expect(told([page(2, { lettering })])).toEqual([
      'lettering-mirrored: The lettering “Borrow” on page 2 is mirrored: it reads backward on the left side.',
    ]);
  });

  it('where both sides show one picture', () => {
    const seen = { lettering: [line('Borrow', rect(60, 40, 90, 20))], painted: [rect(0, 0, 612, 214)] };
    expect(told([page(1, seen), page(2, seen)])).toEqual([
      'page-on-both-sides: Pages 1 and 2 show the same picture: on one of the sides, what it shows at the front is at the rear.',
    ]);
    const moved = { ...seen, lettering: [line('Borrow', rect(462, 40, 90, 20))] };
    expect(told([page(1, seen), page(2, moved)])).toEqual([]);
  });

  it('where a phone number differs', () => {
    const lettered = (text: string) => ({ lettering: [line(text, rect(60, 40, 90, 20))] });
    expect(told([page(1, lettered('555-0142')), page(2, lettered('555-0124'))])).toEqual([
      'contact-differs: The phone number differs: “555-0142” on the left side, “555-0124” on the right side.',
    ]);
  });

  it('where two things that pages say make two scales', () => {
    expect(told([page(1, { lettering: [slug('Scale 1:10'), slug('12,240 × 4,280 mm')] })])).toEqual([
      'scale-differs: “Scale 1:10” on page 1 makes the scale 1:10, but “12,240 × 4,280 mm” on page 1 makes it 1:20.',
    ]);
  });

  it('and nothing where nothing is wrong', () => {
    expect(told([page(1), page(2)])).toEqual([]);
  });
});
