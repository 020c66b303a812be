import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { decimalText } from '../../measure/length-text.ts';
import { firstOf } from '../../measure/present.ts';
import { type Rect, rectArea } from '../../measure/rect.ts';
import { COVERAGE_WINDOW_MM2 } from '../../production/coverage.ts';
import {
  areaOnSide,
  areaPrinted,
  occurrencesOnSide,
  placeOnSide,
  placeText,
  type SideCheck,
} from '../check-context.ts';
import { INK_STEP_PERCENT, type ScannedImageInk } from '../scan/schema.ts';

interface HeavyInk {
  readonly percent: number;
  readonly what: string;
  readonly area: Rect<'finished'>;
}

/**
 * Total area coverage above the film's limit, by the color values in the file: of flat colors, blends, and images whose
 * pixels can be read. The sum of overlapping transparent objects is known only after rendering. Keeps AC12.
 */
export function inkFindings(check: SideCheck): Finding[] {
  const { limits, side } = check;
  const limit = limits.maxInkPercent;
  const heavy = [...heavyColors(check), ...heavyBlends(check), ...heavyImages(check)];
  const [worst] = heavy.sort((a, b) => b.percent - a.percent);
  const uncounted = uncountedFindings(check);
  if (worst === undefined) return uncounted;
  return [
    withFigure(
      worst.percent,
      finding(
        'ink-heavy',
        'warn',
        placeOnSide(check, worst.area),
        `${worst.what} on side ${side.code} asks for ${decimalText(worst.percent, 0)} % ink by the file's own color values, more than the ${decimalText(limit, 0)} % that the film takes; it begins ${placeText(check, worst.area)}.`,
        'Have the RIP hold the total ink to the limit of the film, or ask for lighter separations.',
      ),
    ),
    ...uncounted,
  ];
}

/** Names what could not be added up, because a missing finding would look like a passed check. */
function uncountedFindings({ page, side }: SideCheck): Finding[] {
  const { imagesUncounted, blendsUncounted } = page;
  const where = { page: page.number, sideId: side.id };
  return [
    ...(imagesUncounted === 0
      ? []
      : [
          finding(
            'ink-uncounted',
            'note',
            where,
            `The ink of ${imagesUncounted === 1 ? 'one picture in process or spot inks' : `${imagesUncounted} pictures in process or spot inks`} on page ${page.number} was not added up: too many pixels, or pixels that cannot be read.`,
            'Have the RIP measure the total ink of these pictures if the film is sensitive.',
          ),
        ]),
    ...(blendsUncounted === 0
      ? []
      : [
          finding(
            'ink-blend-uncounted',
            'note',
            where,
            `The ink of ${blendsUncounted === 1 ? 'one blend' : `${blendsUncounted} blends`} on page ${page.number} was not added up: colors that are calculated, or that cannot be read.`,
            'Have the RIP measure the total ink of these blends if the film is sensitive.',
          ),
        ]),
  ];
}

function heavyBlends(check: SideCheck): HeavyInk[] {
  return check.page.blends
    .filter(({ percent }) => percent > check.limits.maxInkPercent)
    .flatMap((blend) => {
      const on = occurrencesOnSide(check, blend);
      return on
        ? [{ percent: blend.percent, what: 'A blend, at its heaviest,', area: firstOf(on.places) }]
        : [];
    });
}

function heavyColors(check: SideCheck): HeavyInk[] {
  return check.page.colors
    .filter(({ percent }) => percent > check.limits.maxInkPercent)
    .flatMap((color) => {
      const on = occurrencesOnSide(check, color);
      return on
        ? [{ percent: color.percent, what: `The color ${color.label}`, area: firstOf(on.places) }]
        : [];
    });
}

function heavyImages(check: SideCheck): HeavyInk[] {
  return check.page.imageInks.flatMap((image) => {
    const area = areaPrinted(check, image.area);
    const isHeavy = area !== undefined && heavyMm2(check, image) >= COVERAGE_WINDOW_MM2;
    return isHeavy ? [{ percent: image.maxPercent, what: pictureText(image), area }] : [];
  });
}

const pictureText = ({ isAveraged }: ScannedImageInk): string =>
  isAveraged ? 'A picture, averaged over squares of 8 pixels,' : 'A picture';

/** Area of an image that is surely above the limit, in finished mm²; a few dark pixels harm no film. */
function heavyMm2(check: SideCheck, { area, shares, maxPercent }: ScannedImageInk): number {
  const limit = check.limits.maxInkPercent;
  if (maxPercent <= limit) return 0;
  const share = shares[Math.ceil(limit / INK_STEP_PERCENT)] ?? 0;
  return share * rectArea(areaOnSide(check, area));
}
