import type { PDFObject } from 'pdf-lib';
import { firstOf, valueAt } from '../measure/present.ts';
import type { Insertion } from '../pdf/content/kept-content.ts';
import type { ImageUse } from '../pdf/content/stream-record.ts';
import type { CroppedImage, ImageCrop } from '../pdf/images/cropped-image.ts';
import { cropMatrix } from '../pdf/images/image-crop.ts';
import type { PixelSize } from '../pdf/images/pixel-window.ts';
import { asciiBytes } from '../pdf/page/ascii-bytes.ts';
import type { Matrix } from '../pdf/page/page-space.ts';

/** In an image 5 m wide the ninth decimal is 5 nm; renderers round images up to the next device pixel. */
const MATRIX_DECIMALS = 12;

/** The crops of one panel, by image. */
export interface PanelCrops {
  readonly panel: number;
  readonly images: ReadonlyMap<PDFObject, CroppedImage>;
}

/**
 * Paints each crop at its place in the image's unit square: a `cm` before its `Do`, between a save and a restore.
 * Nothing else changes, so masks, blending, knockout and a stencil's color act on the crop as they did on the image.
 */
export function cropInsertions(
  images: readonly ImageUse[],
  { panel, images: crops }: PanelCrops,
): Insertion[] {
  return images.flatMap(({ image, start, end }) => {
    const cropped = crops.get(image);
    if (cropped === undefined) return [];
    const matrix = placedMatrix(valueAt(cropped.crops, panel), cropped.parts[0].form.image);
    return [
      { at: start, bytes: asciiBytes(`q ${matrix.map(decimal).join(' ')} cm `) },
      { at: end, bytes: asciiBytes(' Q') },
    ];
  });
}

/**
 * Each cut edge of a crop is drawn inward by this many points, 0.7 µm. Renderers use single precision, which places a
 * far point on a page to a thousandth of a point; an edge meant for a whole point but slightly past it would be rounded
 * up to the next device pixel.
 */
const INSET_POINTS = 0.002;

function placedMatrix({ pixels, placement }: ImageCrop, image: PixelSize): Matrix {
  const crop = firstOf(pixels);
  const [width, , , height, left, bottom] = cropMatrix(crop, image);
  const [a, b, c, d] = placement;
  // Not Math.hypot, whose last bit depends on the runtime: this decides bytes of a panel.
  const insetX = INSET_POINTS / Math.sqrt(a * a + b * b);
  const insetY = INSET_POINTS / Math.sqrt(c * c + d * d);
  const fromLeft = crop.x > 0 ? insetX : 0;
  const fromRight = crop.x + crop.width < image.width ? insetX : 0;
  const fromTop = crop.y > 0 ? insetY : 0;
  const fromBottom = crop.y + crop.height < image.height ? insetY : 0;
  return [
    width - fromLeft - fromRight,
    0,
    0,
    height - fromTop - fromBottom,
    left + fromLeft,
    bottom + fromBottom,
  ];
}

const decimal = (value: number): string => value.toFixed(MATRIX_DECIMALS).replace(/\.?0+$/, '');
