import { type Finding, finding, type Severity } from '../../findings/finding.ts';
import { type PageCheck, placeOnPage } from '../check-context.ts';
import type { ScannedSpace } from '../scan/schema.ts';

const RGB_COMPONENTS = 3;

/** Colors stated as light, or in a space that is unusual in print. Keeps AC4. */
export function colorFindings(check: PageCheck): Finding[] {
  const { page, scan } = check;
  const printed = page.spaces.filter((space) => isPrinted(check, space));
  const say = (
    code: string,
    severity: Severity,
    spaces: readonly ScannedSpace[],
    what: string,
    remedy: string,
  ): Finding[] => {
    const objects = spaces.reduce((sum, space) => sum + space.objects, 0);
    if (objects === 0) return [];
    const subject = objects === 1 ? 'one object' : `${objects} objects`;
    return [
      finding(
        code,
        severity,
        placeOnPage(check, spaces[0]),
        `Page ${page.number} paints ${subject} in ${what}.`,
        remedy,
      ),
    ];
  };
  const isRgbDefined =
    page.defaultSpaces.includes('DefaultRGB') ||
    [...page.outputIntents, ...scan.document.outputIntents].some(
      ({ profileComponents }) => profileComponents === RGB_COMPONENTS,
    );
  const device = printed.filter(({ colors }) => colors === 'DeviceRGB');
  const tagged = printed.filter(
    ({ colors, colorComponents }) => colors === 'ICCBased' && colorComponents === RGB_COMPONENTS,
  );
  const unexpected = printed.filter(({ colors }) => ['CalRGB', 'CalGray', 'Lab'].includes(colors));
  return [
    ...say(
      'color-rgb',
      'warn',
      isRgbDefined ? [] : device,
      'DeviceRGB without a profile, so each RIP makes other inks of it',
      'Ask for the artwork in CMYK or with an RGB profile, or agree on how the RIP converts it.',
    ),
    ...say(
      'color-rgb-icc',
      'note',
      isRgbDefined ? [...tagged, ...device] : tagged,
      'RGB with a profile, which the RIP converts to its inks',
      'Check these colors on the customer proof; bright ones come out duller.',
    ),
    ...say(
      'color-calibrated',
      'note',
      unexpected,
      `${[...new Set(unexpected.map(({ colors }) => colors))].join(' and ')}, which the RIP converts to its inks`,
      'Check these colors on the customer proof.',
    ),
    ...(page.unknownSpaces === 0
      ? []
      : [
          finding(
            'color-unknown',
            'note',
            { page: page.number },
            `Page ${page.number} paints ${page.unknownSpaces === 1 ? 'one object' : `${page.unknownSpaces} objects`} whose color space the file does not tell plainly.`,
            'Check the pictures on the customer proof.',
          ),
        ]),
  ];
}

/** Colors outside all sides, such as those of crop marks and slug lines, do not matter. */
const isPrinted = (check: PageCheck, space: ScannedSpace): boolean =>
  placeOnPage(check, space).sideId !== undefined;
