import type { PDFRef } from 'pdf-lib';
import type { ArtDocument, Value } from './art-document.ts';
import { iccProfileRgb } from './icc-profile.ts';
import { type ValleyLight, valleyPicture } from './landscape-picture.ts';
import { lightsPicture } from './lights-picture.ts';
import { PALETTE, type ProcessInk } from './palette.ts';
import { pictureRef, pixelsFor } from './pictures.ts';
import { shelfPicture } from './shelf-picture.ts';
import { Typeface } from './typeface.ts';

/** Finished sizes at which the pictures are placed; their resolutions hold there. */
export const SHELF_MM = { width: 1900, height: 430, ppi: 72 } as const;
export const VALLEY_MM = { width: 2700, height: 1020, ppi: 60 } as const;
export const LIGHTS_MM = { width: 1900, height: 520, ppi: 60 } as const;

const MORNING: ValleyLight = {
  seed: 41,
  zenith: [186, 222, 216],
  horizon: [255, 234, 200],
  haze: [238, 226, 198],
  near: [38, 108, 108],
  sun: [255, 250, 226],
  sunX: 0.4,
  sunY: 0.62,
};

const EVENING: ValleyLight = {
  seed: 23,
  zenith: [74, 70, 132],
  horizon: [248, 168, 128],
  haze: [226, 142, 138],
  near: [40, 44, 92],
  sun: [255, 226, 178],
  sunX: 0.62,
  sunY: 0.44,
};

const LIGHT_COLORS: readonly ProcessInk[] = [
  PALETTE.gold,
  PALETTE.peach,
  PALETTE.cream,
  PALETTE.amber,
  PALETTE.rose,
];

/** What one document's sides share: its two typefaces and its pictures, each made when first asked for. */
export class Stock {
  readonly document: ArtDocument;
  readonly slab: Typeface;
  readonly sans: Typeface;

  constructor(document: ArtDocument) {
    this.document = document;
    this.slab = Typeface.zillaSlab(document);
    this.sans = Typeface.notoSans(document);
  }

  /** A row of books, in process inks. */
  shelf(seed: number): PDFRef {
    const { width, height, ppi } = SHELF_MM;
    return this.document.once(`shelf ${seed}`, () =>
      pictureRef(this.document, shelfPicture(width, height, ppi, seed), 'DeviceCMYK'),
    );
  }

  /** The valley seen from the road, in RGB with an ICC profile. */
  valley(time: 'morning' | 'evening'): PDFRef {
    const { width, height, ppi } = VALLEY_MM;
    const light = time === 'morning' ? MORNING : EVENING;
    return this.document.once(`valley ${time}`, () => {
      const raster = valleyPicture(pixelsFor(width, ppi), pixelsFor(height, ppi), light);
      return pictureRef(this.document, raster, this.iccRgb());
    });
  }

  /** Lights out of focus: an indexed picture that shows through an image soft mask. */
  lights(seed: number): PDFRef {
    const { width, height, ppi } = LIGHTS_MM;
    return this.document.once(`lights ${seed}`, () => {
      const { color, cover } = lightsPicture(width, height, ppi, LIGHT_COLORS.length, seed);
      const mask = pictureRef(this.document, cover, 'DeviceGray');
      const table = LIGHT_COLORS.flatMap(({ c, m, y, k }) =>
        [c, m, y, k].map((part) => Math.round(part * 2.55)),
      );
      const lookup = this.document.stream({}, Uint8Array.from(table));
      return pictureRef(
        this.document,
        color,
        ['Indexed', 'DeviceCMYK', LIGHT_COLORS.length - 1, lookup],
        mask,
      );
    });
  }

  private iccRgb(): Value {
    const profile = this.document.once('icc', () =>
      this.document.stream({ N: 3, Alternate: 'DeviceRGB' }, iccProfileRgb('Alder demo RGB, gamma 2.2')),
    );
    return ['ICCBased', profile];
  }
}
