import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { decimalText } from '../../measure/length-text.ts';
import type { Rect } from '../../measure/rect.ts';
import { areaPrinted, distanceText, placeOnSide, placeText, type SideCheck } from '../check-context.ts';
import type { ScannedImage } from '../scan/schema.ts';
import { ppiAsked, ppiNeeded, ppiOfGuidance } from '../viewing-distance.ts';

/** An image on a side, with its resolution on the vehicle in the coarser direction. */
interface PlacedImage {
  readonly image: ScannedImage;
  readonly ppi: number;
  readonly area: Rect<'finished'>;
}

/**
 * Effective resolution of every image at finished size, compared with what is visible from the viewing distance.
 * Keeps AC2.
 */
export function resolutionFindings(check: SideCheck): Finding[] {
  const { job, limits, distance, side } = check;
  const needed = ppiNeeded(distance, limits);
  const guidance = ppiOfGuidance(distance, limits);
  const asked = ppiAsked(distance, limits);
  const images = imagesOnSide(check);
  const coarse = images.filter(({ ppi }) => ppi < needed);
  const soft = images.filter(({ ppi }) => ppi >= needed && ppi < guidance);
  const from = distanceText(job, distance);
  return [
    ...worstOf(coarse).map(({ image, ppi, area }) =>
      withFigure(
        ppi,
        finding(
          'image-coarse',
          'warn',
          placeOnSide(check, area),
          `${subject(coarse.length, image)} on side ${side.code} has ${ppiText(ppi)} at finished size, so few that they show from ${from}, where ${ppiText(asked)} are asked for; it begins ${placeText(check, area)}.`,
          'Ask for the picture in its original size, or accept that its pixels can be seen.',
        ),
      ),
    ),
    ...worstOf(soft).map(({ image, ppi, area }) =>
      withFigure(
        ppi,
        finding(
          'image-soft',
          'note',
          placeOnSide(check, area),
          `${subject(soft.length, image)} on side ${side.code} has ${ppiText(ppi)} at finished size; the trade asks for ${ppiText(guidance)} from ${from}.`,
          'No pixels show from there; ask for a finer picture if people come closer.',
        ),
      ),
    ),
  ];
}

/** Images printed on a side, coarsest first. Blurred masks are left out, because they are coarse on purpose. */
export function imagesOnSide(check: SideCheck): PlacedImage[] {
  return check.page.images
    .filter(({ isMask }) => !isMask)
    .flatMap((image) => {
      const ppi = Math.min(image.ppiX ?? Infinity, image.ppiY ?? Infinity) / check.job.scale;
      const area = areaPrinted(check, image.area);
      return Number.isFinite(ppi) && area ? [{ image, ppi, area }] : [];
    })
    .sort((a, b) => a.ppi - b.ppi);
}

const worstOf = (images: readonly PlacedImage[]): readonly PlacedImage[] => images.slice(0, 1);

function subject(count: number, { widthPx, heightPx }: ScannedImage): string {
  const size = `${widthPx} × ${heightPx} px`;
  return count === 1 ? `An image of ${size}` : `The coarsest of ${count} images, ${size},`;
}

/** `29.1 ppi`, `175 ppi` */
export const ppiText = (ppi: number): string => `${decimalText(ppi, ppi < 100 ? 1 : 0)} ppi`;
