import { describe, expect, it } from 'vitest';
import { ppiNeeded, ppiOfAcuity, ppiOfGuidance } from '../../../core/checks/viewing-distance.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { checksOf, codesOf, drawn, findingOf, GROUND, imageStream, pageInMm } from './check-support.ts';

const picture = (width: number, height: number, place: string, more = '') =>
  pageInMm(GROUND + place, {
    resources: '/XObject << /Im 20 0 R >>',
    objects: { 20: imageStream(width, height, '/DeviceCMYK', new Uint8Array(width * height * 4), more) },
  });

describe('resolution', () => {
  it('AC1 one pixel subtends one minute of arc at 87.32 ÷ distance in meters (visual acuity grade 1, ISO 8596)', () => {
    const published: readonly (readonly [meters: number, ppi: number])[] = [
      [0.5, 174.6],
      [1, 87.3],
      [1.5, 58.2],
      [2, 43.7],
      [3, 29.1],
      [5, 17.5],
      [10, 8.73],
      [20, 4.37],
    ];
    for (const [meters, ppi] of published) {
      expect(Number(ppiOfAcuity(meters * 1000).toPrecision(ppi < 10 ? 3 : ppi < 100 ? 3 : 4))).toBe(ppi);
    }
    expect(ppiOfAcuity(1000)).toBeCloseTo(87.32, 2);
  });

  it('AC1 the shop has a lowest resolution whatever the distance, and a table of what the trade asks for', () => {
    expect(ppiNeeded(10_000, { minPpi: 21 })).toBe(21);
    expect(ppiNeeded(1000, { minPpi: 21 })).toBeCloseTo(87.3, 1);
    expect(
      [0, 1499, 1500, 4499, 4500, 90_000].map((mm) => ppiOfGuidance(mm, DEFAULT_ARTWORK_LIMITS)),
    ).toEqual([100, 100, 75, 75, 50, 50]);
    expect(ppiOfGuidance(3000, { guidance: [] })).toBe(0);
  });

  it('AC2 an image with pixels that show from the distance of its side warns, with both figures and its place', async () => {
    // 60 × 45 mm drawn is 600 × 450 mm on the vehicle: 283 px across make 11.98 ppi, 236 px down 13.3.
    const pdf = picture(283, 236, drawn('Im', 90, 50, 60, 45));
    const { severity, message, where, figure } = await findingOf(pdf, 'image-coarse');
    expect(severity).toBe('warn');
    expect(figure).toBeCloseTo(283 / (600 / 25.4), 6);
    expect(message).toContain('283 × 236 px on side LH has 12 ppi at finished size');
    expect(message).toContain('so few that they show from 3 m, where 75 ppi are asked for');
    expect(message).toContain('400 mm from the left and 200 mm from the top');
    expect(where.sideId).toBe('s1');
    expect(where.page).toBe(1);
    expect(where.area!.x).toBeCloseTo(400, 6);
    expect(where.area!.width).toBeCloseTo(600, 6);
    expect(where.area!.height).toBeCloseTo(450, 6);
  });

  it('AC2 what is fine from further away, or fine enough, does not warn', async () => {
    const coarse = picture(283, 236, drawn('Im', 90, 50, 60, 45));
    // Needed at 8 m: 10.9 ppi, with the shop's limit out of the way.
    const limits = { ...DEFAULT_ARTWORK_LIMITS, minPpi: 5 };
    const far = { side: { viewingDistanceMm: 8000 }, job: { artworkLimits: limits } };
    expect(await codesOf(coarse, far)).not.toContain('image-coarse');
    expect(await codesOf(coarse, far)).toContain('image-soft');
    expect(await codesOf(coarse, { side: { viewingDistanceMm: 8000 } })).toContain('image-coarse');
    const fine = picture(2000, 1500, drawn('Im', 90, 50, 60, 45));
    const codes = await codesOf(fine);
    expect(codes).not.toContain('image-coarse');
    expect(codes).not.toContain('image-soft');
  });

  it('AC2 the coarser way of a stretched image counts, turned or not; one pixel drawn out counts for nothing', async () => {
    // 400 px over 40 mm and 90 px over 70 mm: 25.4 and 3.27 ppi on the vehicle.
    const turned = picture(400, 90, 'q 0 -40 70 0 90 120 cm /Im Do Q');
    expect((await findingOf(turned, 'image-coarse')).figure).toBeCloseTo(90 / (700 / 25.4), 6);
    const blend = picture(900, 1, drawn('Im', 90, 50, 60, 45));
    expect(await codesOf(blend)).not.toContain('image-coarse');
    expect(await codesOf(picture(1, 1, drawn('Im', 90, 50, 60, 45)))).not.toContain('image-coarse');
  });

  it('AC2 images beside the side, in blurred masks and on hidden layers are not looked at', async () => {
    expect(await codesOf(picture(9, 8, drawn('Im', 2, 3, 20, 15)))).not.toContain('image-coarse');
    const masked = pageInMm(`${GROUND}/G gs 0 0 1 0 k 90 50 60 45 re f`, {
      resources: '/ExtGState << /G << /SMask << /S /Luminosity /G 21 0 R >> >> >>',
      objects: {
        20: imageStream(9, 8, '/DeviceGray', new Uint8Array(72)),
        21: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 400 200] /Group << /S /Transparency /CS /DeviceGray >> /Resources << /XObject << /Im 20 0 R >> >>',
          data: drawn('Im', 90, 50, 60, 45),
        },
      },
    });
    expect(await codesOf(masked)).not.toContain('image-coarse');
  });

  it('AC2 several coarse images are told of once, by the coarsest', async () => {
    const pdf = picture(283, 236, drawn('Im', 90, 50, 60, 45) + drawn('Im', 180, 60, 120, 85));
    const { message, figure } = await findingOf(pdf, 'image-coarse');
    expect(message).toContain('The coarsest of 2 images');
    expect(figure).toBeCloseTo(283 / (1200 / 25.4), 6);
    expect((await checksOf(pdf)).filter(({ code }) => code === 'image-coarse')).toHaveLength(1);
  });
});
