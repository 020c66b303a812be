import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { thinnestStroke } from '../../../core/checks/scan/stroke-width.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { codesOf, drawn, findingOf, GROUND, imageStream, pageInMm, pageScanOf } from './check-support.ts';

const TINT = { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' };
const page = (content: string, more: object = {}) =>
  pageInMm(GROUND + content, {
    resources:
      '/ColorSpace << /Five [/DeviceN [/Cyan /Magenta /Yellow /Black /Gold#20Leaf] /DeviceCMYK 30 0 R] >> /XObject << /Im 20 0 R >>',
    objects: { 30: TINT, 20: imageStream(1, 1, '/DeviceCMYK', new Uint8Array(4)) },
    ...more,
  });

/** Four inks of one pixel, in percent. */
const pixels = (...inks: readonly (readonly number[])[]) =>
  Uint8Array.from(inks.flat().map((percent) => Math.round(percent * 2.55)));
const withImage = (width: number, height: number, data: Uint8Array, more = '') =>
  page(drawn('Im', 90, 50, 60, 45), {
    objects: { 30: TINT, 20: imageStream(width, height, '/DeviceCMYK', data, more) },
  });

describe('total ink', () => {
  it('AC12 a flat color above the limit of the film warns with its sum, its inks and its place', async () => {
    const pdf = page('0.9 0.7 0.6 0.95 k 130 70 41 23 re f');
    const { severity, message, figure } = await findingOf(pdf, 'ink-heavy');
    expect(severity).toBe('warn');
    expect(figure).toBeCloseTo(315, 6);
    expect(message).toContain('C 90 M 70 Y 60 K 95 on side LH asks for 315 % ink');
    expect(message).toContain("by the file's own color values, more than the 300 %");
    expect(message).toContain('800 mm from the left and 400 mm from the top');
  });

  it('AC12 the limit is the shop’s; what keeps it or lies beside the side is in order', async () => {
    const pdf = page('0.9 0.7 0.6 0.75 k 130 70 41 23 re f');
    expect(await codesOf(pdf)).not.toContain('ink-heavy');
    const strict = { job: { artworkLimits: { ...DEFAULT_ARTWORK_LIMITS, maxInkPercent: 280 } } };
    expect((await findingOf(pdf, 'ink-heavy', strict)).figure).toBeCloseTo(295, 6);
    expect(await codesOf(page('1 1 1 1 k 2 3 20 9 re f'))).not.toContain('ink-heavy');
  });

  it('AC12 spot inks and strokes count', async () => {
    const five = page('/Five cs 0.7 0.7 0.7 0.7 0.9 scn 130 70 41 23 re f');
    expect((await findingOf(five, 'ink-heavy')).figure).toBeCloseTo(370, 6);
    expect(
      (await findingOf(page('0.8 0.8 0.8 0.8 K 3 w 130 70 m 190 70 l S'), 'ink-heavy')).figure,
    ).toBeCloseTo(320, 6);
  });

  it('AC12 pixels of CMYK images are added up, with Decode, and few dark ones are let pass', async () => {
    const dark = withImage(2, 1, pixels([90, 80, 80, 90], [10, 0, 0, 0]));
    expect((await findingOf(dark, 'ink-heavy')).figure).toBeCloseTo(340, 0);
    expect((await findingOf(dark, 'ink-heavy')).message).toContain('A picture on side LH asks for 340 % ink');
    const inverted = withImage(
      2,
      1,
      pixels([10, 20, 20, 10], [100, 100, 100, 100]),
      '/Decode [1 0 1 0 1 0 1 0]',
    );
    expect((await findingOf(inverted, 'ink-heavy')).figure).toBeCloseTo(340, 0);
    // One pixel of 300 × 300 on 600 × 450 mm is 3 mm²: less than a drop.
    const speck = new Uint8Array(300 * 300 * 4);
    speck.fill(255, 0, 4);
    expect(await codesOf(withImage(300, 300, speck))).not.toContain('ink-heavy');
  });

  it('AC12 the histogram of an image says which share of it exceeds each tenth', async () => {
    const pdf = withImage(
      4,
      1,
      pixels([0, 0, 0, 0], [100, 0, 0, 0], [100, 100, 0, 40], [100, 100, 100, 100]),
    );
    const [image] = (await pageScanOf(pdf)).imageInks;
    expect(image!.maxPercent).toBe(400);
    expect(image!.shares).toHaveLength(40);
    expect([0, 9, 10, 23, 24, 39].map((step) => image!.shares[step])).toEqual([
      0.75, 0.75, 0.5, 0.5, 0.25, 0.25,
    ]);
  });

  it('AC12 pictures whose pixels cannot be added up are named', async () => {
    const jpeg = withImage(8, 8, Uint8Array.of(0xff, 0xd8, 0xff, 0xd9), '/Filter /DCTDecode');
    expect((await findingOf(jpeg, 'ink-uncounted')).message).toContain(
      'one picture in process or spot inks on page 1',
    );
    expect(await codesOf(withImage(1, 1, pixels([1, 2, 3, 4])))).not.toContain('ink-uncounted');
  });
});

describe('strokes', () => {
  it('AC13 a stroke of width 0 warns with its place', async () => {
    const { severity, message, where } = await findingOf(page('0 w 130 70 m 190 95 l S'), 'stroke-zero');
    expect(severity).toBe('warn');
    expect(message).toContain('one stroke of width 0');
    expect(message).toContain('800 mm from the left and 400 mm from the top');
    expect(where.area!.width).toBeCloseTo(600, 6);
  });

  it('AC13 strokes under the limit at finished size warn, however they were made thin', async () => {
    // 0.02 mm drawn is 0.2 mm on the vehicle; the limit is 0.25.
    const thin = ['0.02 w 130 70 m 190 95 l S', 'q 0.01 0 0 0.01 0 0 cm 2 w 13000 7000 m 19000 9500 l S Q'];
    for (const content of thin) {
      const { severity, message } = await findingOf(page(content), 'stroke-hairline');
      expect(severity).toBe('warn');
      expect(message).toContain('one stroke thinner than 0.25 mm at finished size, the thinnest 0.2 mm');
    }
    expect(await codesOf(page('0.03 w 130 70 m 190 95 l S'))).not.toContain('stroke-hairline');
    // A pen of 2 × 0.02 mm draws thick and thin.
    expect(await codesOf(page('q 1 0 0 0.01 0 0 cm 2 w 130 7000 m 190 9500 l S Q'))).toContain(
      'stroke-hairline',
    );
  });

  it('AC13 hairlines of the drawing that come out as bars are noted', async () => {
    const limits = { ...DEFAULT_ARTWORK_LIMITS, hairlineDrawnMm: 0.3 };
    const pdf = page('0.25 w 130 70 m 190 95 l S');
    const { severity, message } = await findingOf(pdf, 'stroke-huge', { job: { artworkLimits: limits } });
    expect(severity).toBe('note');
    expect(message).toContain('the first drawn 0.25 mm and printed 2.5 mm wide');
    expect(await codesOf(pdf)).not.toContain('stroke-huge');
  });

  it('AC13 strokes beside the side, on hidden layers and of normal width are in order', async () => {
    expect(await codesOf(page('0 w 5 5 m 20 5 l S'))).not.toContain('stroke-zero');
    const codes = await codesOf(page('1.5 w 130 70 m 190 95 l S'));
    expect(codes.filter((code) => code.startsWith('stroke-'))).toEqual([]);
  });

  it('AC13 the thinnest width under a matrix is its smaller singular value', () => {
    expect(thinnestStroke([3, 0, 0, 2, 9, 9])).toBeCloseTo(2, 12);
    expect(thinnestStroke([0, 5, -5, 0, 0, 0])).toBeCloseTo(5, 12);
    expect(thinnestStroke([1, 0, 1, 0, 0, 0])).toBe(0);
    const number = fc.double({ min: -9, max: 9, noNaN: true });
    fc.assert(
      fc.property(number, number, number, number, (a, b, c, d) => {
        const thinnest = thinnestStroke([a, b, c, d, 0, 0]);
        // No direction is drawn out less: a brute look around the circle.
        for (let turn = 0; turn < 64; turn++) {
          const angle = (Math.PI * turn) / 64;
          const [x, y] = [Math.cos(angle), Math.sin(angle)];
          expect(Math.hypot(a * x + c * y, b * x + d * y)).toBeGreaterThanOrEqual(thinnest - 1e-6);
        }
      }),
    );
  });
});
