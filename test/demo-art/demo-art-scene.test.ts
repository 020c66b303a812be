import { describe, expect, it } from 'vitest';
import { ArtDocument } from './art-document.ts';
import { iccProfileRgb } from './icc-profile.ts';
import { BOOKMOBILE, type Box, type SceneSide, TRAILER, TRAILER_BAY_MM } from './scene.ts';
import { Typeface } from './typeface.ts';

const SIDES = [BOOKMOBILE, TRAILER].flatMap((unit) =>
  unit.sides.map((side) => ({ name: `${unit.fileName} ${side.code}`, side })),
);

/** Lettering set in the sans serif; all other is in the slab serif. */
const isSans = (id: string): boolean => /^(slogan|phone|motto)/.test(id);

const overlap = (a: Box, b: Box): boolean =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

describe.each(SIDES)('scene of $name', ({ side }: { side: SceneSide }) => {
  const document = new ArtDocument();
  const faces = { slab: Typeface.zillaSlab(document), sans: Typeface.notoSans(document) };

  it('has lettering boxes that are the ink to the next whole millimeter', () => {
    for (const box of side.lettering) {
      const face = isSans(box.id) ? faces.sans : faces.slab;
      const ink = face.lineInk(face.lineFitted(box.text, box));
      expect(ink.x, box.id).toBeCloseTo(box.x, 6);
      expect(ink.width, box.id).toBeCloseTo(box.width, 6);
      expect(ink.y + ink.height, box.id).toBeCloseTo(box.y + box.height, 6);
      expect(box.height - ink.height, box.id).toBeGreaterThanOrEqual(0);
      expect(box.height - ink.height, box.id).toBeLessThan(1);
    }
  });

  it('keeps lettering on the side, off its openings and apart from other lettering', () => {
    for (const [i, box] of side.lettering.entries()) {
      expect(box.x).toBeGreaterThan(0);
      expect(box.x + box.width).toBeLessThan(side.widthMm);
      expect(
        side.noFilmAreas.filter((noFilmArea) => overlap(noFilmArea, box)).map((noFilmArea) => noFilmArea.id),
      ).toEqual([]);
      expect(
        side.lettering
          .slice(i + 1)
          .filter((other) => overlap(other, box))
          .map((other) => other.id),
      ).toEqual([]);
    }
  });

  it('lets no body line run through lettering', () => {
    for (const line of side.bodyLines) {
      const crossed = side.lettering.filter((box) => {
        const [start, length] = line.direction === 'horizontal' ? [box.y, box.height] : [box.x, box.width];
        return line.at > start && line.at < start + length;
      });
      expect(crossed.map((box) => `${line.id} through ${box.id}`)).toEqual([]);
    }
  });

  it('has openings and body lines within the side', () => {
    for (const { x, y, width, height } of side.noFilmAreas) {
      expect(Math.min(x, y)).toBeGreaterThanOrEqual(0);
      expect(x + width).toBeLessThanOrEqual(side.widthMm);
      expect(y + height).toBeLessThanOrEqual(side.heightMm);
    }
    for (const line of side.bodyLines) {
      expect(line.at).toBeGreaterThan(0);
      expect(line.at).toBeLessThan(line.direction === 'horizontal' ? side.heightMm : side.widthMm);
    }
  });
});

describe('scene of the trailer', () => {
  it('has its rivet rows a bay apart, counted from the front', () => {
    for (const side of TRAILER.sides) {
      const rows = side.bodyLines.filter((line) => line.kind === 'rivet-row');
      const fromFront = rows
        .map((row) => (side.front === 'left' ? row.at : side.widthMm - row.at))
        .sort((a, b) => a - b);
      expect(fromFront).toEqual([1, 2, 3, 4].map((row) => row * TRAILER_BAY_MM));
    }
  });
});

describe('the ICC profile made by code', () => {
  const profile = Buffer.from(iccProfileRgb('Test'));

  it('has the header that ICC.1:2001-04, 6.1 asks for', () => {
    expect(profile.readUInt32BE(0)).toBe(profile.length);
    expect(profile.toString('latin1', 12, 24)).toBe('mntrRGB XYZ ');
    expect(profile.toString('latin1', 36, 40)).toBe('acsp');
  });

  it('has colorants that add up to D50, so that equal parts are white', () => {
    const sum = [0, 1, 2].map((axis) =>
      ['rXYZ', 'gXYZ', 'bXYZ'].reduce(
        (total, tag) => total + profile.readInt32BE(tagOffset(profile, tag) + 8 + 4 * axis) / 65536,
        0,
      ),
    );
    // D50 of the profile connection space: ICC.1:2001-04, 6.1.12. The published matrix is rounded to 4 decimals.
    for (const [axis, white] of [0.9642, 1, 0.8249].entries()) expect(sum[axis]).toBeCloseTo(white, 3);
  });
});

function tagOffset(profile: Buffer, tag: string): number {
  for (let i = 0; i < profile.readUInt32BE(128); i += 1) {
    const entry = 132 + 12 * i;
    if (profile.toString('latin1', entry, entry + 4) === tag) return profile.readUInt32BE(entry + 4);
  }
  throw new Error(`the profile has no tag ${tag}`);
}
