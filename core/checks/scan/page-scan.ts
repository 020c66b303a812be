import { PDFName, type PDFObject } from 'pdf-lib';
import type { PageBox } from '../../measure/page-box.ts';
import type { Result } from '../../measure/result.ts';
import { resultOk } from '../../measure/result.ts';
import {
  type ColorSpace,
  colorSpaceFrom,
  colorSpaceLabel,
  spaceUnder,
} from '../../pdf/content/color-space.ts';
import { type ContentPage, contentPageFrom } from '../../pdf/content/content-page.ts';
import { boxOf } from '../../pdf/content/object-numbers.ts';
import { type ImagePlacement, pageImages } from '../../pdf/content/page-images.ts';
import { type PageInks, pageInks } from '../../pdf/content/page-inks.ts';
import { type LetteringLine, pageLettering } from '../../pdf/content/page-lettering.ts';
import {
  type Artwork,
  PAGE_BOXES,
  type PageWithSpace,
  pageWithSpace,
  visibleBox,
} from '../../pdf/document/artwork.ts';
import { dictOf } from '../../pdf/file/dict-values.ts';
import { type PdfPage, pageAttribute } from '../../pdf/file/pages.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';
import { type ArtworkProblem, withPdfProblems } from '../../pdf/page/artwork-problem.ts';
import type { SourceBox } from '../../pdf/page/page-space.ts';
import { outputIntents } from './document-scan.ts';
import { functionOfOne } from './function-values.ts';
import type { ImageInks } from './image-inks.ts';
import { pagePainting } from './page-painting.ts';
import {
  DefaultSpace,
  type PageScan,
  type ScannedImage,
  type ScannedLine,
  type ScannedSpace,
  type ScannedSpot,
} from './schema.ts';
import { isSameSpotColor, type SpotColor } from './spot-color.ts';

const MAX_IMAGES = 2000;
const MAX_SPACES = 300;
const MAX_SPOTS = 200;
const MAX_LABEL = 200;
const MAX_LINES = 2000;
const MAX_WORDS_IN_LINE = 100;
const MAX_LARGE_LINES = 24;
const MAX_TINTS = 50;
const MAX_LINE_TEXT = 100;
const MAX_PLACES = 24;

/** Scans one page. `box` is the origin of drawn space. Returns the problems of the page and of its content. */
export function pageScan(
  artwork: Artwork,
  number: number,
  box: PageBox,
  imageInks: ImageInks,
  pause?: () => Promise<void>,
): Promise<Result<PageScan, ArtworkProblem>> {
  return withPdfProblems(async () => {
    const found = pageWithSpace(artwork, number, box);
    if (!found.ok) return found;
    const { file } = artwork;
    const { source, geometry, space } = found.value;
    const page: ContentPage = {
      ...(await contentPageFrom(file, source.page)),
      ...(pause && { pause }),
      space,
      box: visibleBox(geometry, box),
    };
    const placements = await pageImages(page, 1);
    const inks = await pageInks(page);
    const lines = await pageLettering(page);
    return resultOk({
      number,
      ...(await pageBoxes(file, source.page, found.value)),
      images: scannedImages(placements),
      spaces: scannedSpaces(inks),
      spots: await scannedSpots(inks, file),
      unknownSpaces: inks.unknown,
      lettering: scannedLines(lines),
      largeLettering: largestLines(lines),
      ...(await pagePainting(page)),
      ...(await imageInks.ofPage(placements)),
      ...(await blendingSpace(file, source.page)),
      defaultSpaces: await defaultSpaces(file, source.page),
      outputIntents: await outputIntents(file, source.page.dict),
    });
  });
}

function scannedImages(placements: readonly ImagePlacement[]): ScannedImage[] {
  return placements
    .filter(({ isVisible }) => isVisible)
    .map(
      ({ image, ppiX, ppiY, drawn, within }): ScannedImage => ({
        ...(image.ref && { object: image.ref.objectNumber }),
        widthPx: Math.max(0, Math.trunc(image.width)),
        heightPx: Math.max(0, Math.trunc(image.height)),
        // A single pixel stretched in a direction is a flat tint or a blend, and has no resolution in it.
        ...(image.width > 1 && Number.isFinite(ppiX) && { ppiX }),
        ...(image.height > 1 && Number.isFinite(ppiY) && { ppiY }),
        area: drawn,
        isMask: within === 'soft-mask',
      }),
    )
    .sort((a, b) => coarsest(a) - coarsest(b))
    .slice(0, MAX_IMAGES);
}

const coarsest = ({ ppiX, ppiY }: ScannedImage): number => Math.min(ppiX ?? Infinity, ppiY ?? Infinity);

const scannedSpaces = ({ spaces }: PageInks): ScannedSpace[] =>
  spaces.slice(0, MAX_SPACES).map(({ space, label, objects, area, places }) => {
    const under = spaceUnder(space);
    return {
      label: shortened(label, MAX_LABEL),
      family: space.family,
      components: space.components,
      colors: under.family,
      colorComponents: under.components,
      objects,
      area,
      places: places.slice(0, MAX_PLACES),
    };
  });

async function scannedSpots({ spots, spaces }: PageInks, file: PdfFile): Promise<ScannedSpot[]> {
  const found: ScannedSpot[] = [];
  for (const { name, objects, area, places } of spots.slice(0, MAX_SPOTS)) {
    const own = spaces.filter(({ space }) => spaceUnder(space).inks.includes(name));
    const alternates = new Set(own.map(({ space }) => alternateLabel(spaceUnder(space))));
    const colors: SpotColor[] = [];
    for (const { space, tints } of own) {
      for (const tint of tints.slice(0, MAX_TINTS)) {
        const values = await fullCoat(tint, file);
        const color = values && { space: alternateLabel(spaceUnder(space)), values: [...values] };
        if (color && !colors.some((known) => isSameSpotColor(known, color))) colors.push(color);
      }
    }
    found.push({
      name,
      alternates: [...alternates],
      colors,
      ...{ objects, area, places: places.slice(0, MAX_PLACES) },
    });
  }
  return found;
}

/** Undefined where the color is calculated, or cannot be read. */
async function fullCoat(tint: PDFObject, file: PdfFile): Promise<readonly number[] | undefined> {
  try {
    return (await functionOfOne(tint, file))?.(1);
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

const alternateLabel = ({ base }: ColorSpace): string =>
  base === undefined ? 'unknown' : colorSpaceLabel(base);

const shortened = (text: string, length: number): string =>
  text.length > length ? `${text.slice(0, length - 1)}…` : text;

/** The smallest may be too small to read; the largest are the ones that seams cross. */
function scannedLines(lines: readonly LetteringLine[]): ScannedLine[] {
  const bySize = lines.filter(({ sizeMm }) => sizeMm > 0).sort((a, b) => a.sizeMm - b.sizeMm);
  const half = MAX_LINES / 2;
  const kept = bySize.length <= MAX_LINES ? bySize : [...bySize.slice(0, half), ...bySize.slice(-half)];
  return kept.map(scannedLine);
}

const largestLines = (lines: readonly LetteringLine[]): ScannedLine[] =>
  lines
    .toSorted((a, b) => b.sizeMm - a.sizeMm)
    .slice(0, MAX_LARGE_LINES)
    .map(scannedLine);

const scannedLine = ({ text, drawn, sizeMm, words, isMirrored }: LetteringLine): ScannedLine => ({
  text: shortened(text, MAX_LINE_TEXT),
  area: drawn,
  // A line longer than any sign is kept as a whole, without words.
  words: words.length > MAX_WORDS_IN_LINE ? [drawn] : words.map((word) => word.drawn),
  strokes: [],
  sizeMm,
  ...(isMirrored && { isMirrored }),
});

const BOX_KEYS: Readonly<Record<PageBox, string>> = {
  media: 'MediaBox',
  crop: 'CropBox',
  bleed: 'BleedBox',
  trim: 'TrimBox',
  art: 'ArtBox',
};

type PageBoxes = Pick<PageScan, 'statedBoxes' | 'boxes' | 'rotate' | 'userUnit'>;

async function pageBoxes(
  file: PdfFile,
  page: PdfPage,
  { geometry, space }: PageWithSpace,
): Promise<PageBoxes> {
  const stated = new Map<PageBox, SourceBox>();
  for (const name of PAGE_BOXES) {
    const key = BOX_KEYS[name];
    const object =
      key === 'MediaBox' || key === 'CropBox'
        ? await pageAttribute(file, page, key)
        : await file.entry(page.dict, key);
    const box = await boxOf(object, file);
    if (box !== undefined) stated.set(name, box);
  }
  return {
    statedBoxes: [...stated.keys()],
    boxes: Object.fromEntries(
      PAGE_BOXES.map((name) => [name, space.rectFromBox(geometry.boxes[name])]),
    ) as PageBoxes['boxes'],
    rotate: geometry.rotation,
    userUnit: geometry.userUnit,
  };
}

async function blendingSpace(file: PdfFile, page: PdfPage): Promise<Pick<PageScan, 'blendingSpace'>> {
  const group = dictOf(await file.entry(page.dict, 'Group'));
  const space = await file.entry(group, 'CS');
  return space === undefined ? {} : { blendingSpace: colorSpaceLabel(await colorSpaceFrom(space, file)) };
}

/** Spaces that stand in for device spaces on the page, ISO 32000-1, 8.6.5.6. */
async function defaultSpaces(file: PdfFile, page: PdfPage): Promise<PageScan['defaultSpaces']> {
  const resources = dictOf(await pageAttribute(file, page, 'Resources'));
  const spaces = dictOf(await file.entry(resources, 'ColorSpace'));
  return DefaultSpace.options.filter((name) => spaces?.has(PDFName.of(name)) === true);
}
