/**
 * Checks that a panel's page has the boxes that the manifest states, and that its art has the right place and size.
 * Lengths are finished mm on the film, origin top left.
 */
import { rectFromStored } from '../../job/stored-rect.ts';
import { type Rect, rectBottom, rectMirrored, rectRight } from '../../measure/rect.ts';
import { filmFromFinished } from '../../measure/spaces.ts';
import { MM_PER_PT, type Mm } from '../../measure/units.ts';
import type { ManifestPanel } from '../../output/manifest.ts';
import { matrixPoint, type PageSpace, type SourceBox } from '../../pdf/page/page-space.ts';
import type { PanelArt, PanelDocument } from './panel-document.ts';

/** A third of the smallest dot of any printer, far above rounding. */
export const LENGTH_SLACK_MM: Mm = 0.005;

export interface BoxDifference {
  readonly box: 'MediaBox' | 'CropBox' | 'BleedBox' | 'TrimBox';
  readonly meaning: string;
  readonly expected: Rect<'film'>;
  readonly found: Rect<'film'>;
}

/** The page boxes that differ from the manifest: MediaBox film, BleedBox printed, TrimBox net. */
export function boxDifferences(panel: ManifestPanel, { geometry }: PanelDocument): BoxDifference[] {
  const mmPerUnit = geometry.userUnit * MM_PER_PT * panel.enlargeBy;
  const expected = [
    ['MediaBox', 'media', 'film', panel.filmBox],
    ['CropBox', 'crop', 'film', panel.filmBox],
    ['BleedBox', 'bleed', 'printed area', panel.printedBox],
    ['TrimBox', 'trim', 'net area', panel.finishedBox],
  ] as const;
  return expected.flatMap(([box, name, meaning, stored]) => {
    const rect = rectOfFile(panel, stored);
    const found = rectOnFilm(geometry.boxes[name], geometry.boxes.media, mmPerUnit);
    return isSameRect(found, rect) ? [] : [{ box, meaning, expected: rect, found }];
  });
}

/** Where a part of the side is in the file; mirrored where the file is. */
function rectOfFile({ filmBox, mirrored }: ManifestPanel, stored: ManifestPanel['filmBox']): Rect<'film'> {
  const onFilm = filmFromFinished(rectFromStored(filmBox)).rect(rectFromStored(stored));
  return mirrored ? rectMirrored(onFilm, filmBox.widthMm) : onFilm;
}

function rectOnFilm(box: SourceBox, media: SourceBox, mmPerUnit: number): Rect<'film'> {
  return {
    x: (box.x0 - media.x0) * mmPerUnit,
    y: (media.y1 - box.y1) * mmPerUnit,
    width: (box.x1 - box.x0) * mmPerUnit,
    height: (box.y1 - box.y0) * mmPerUnit,
  };
}

const isSameRect = (a: Rect, b: Rect): boolean =>
  [a.x - b.x, a.y - b.y, rectRight(a) - rectRight(b), rectBottom(a) - rectBottom(b)].every(
    (difference) => Math.abs(difference) <= LENGTH_SLACK_MM,
  );

export interface ArtPlacement {
  /** How far the middle of the printed area is to the right of and below its place. */
  readonly dxMm: Mm;
  readonly dyMm: Mm;
  /** Size as a factor of what it should be. */
  readonly scaleX: number;
  readonly scaleY: number;
  /** Whether the art is mirrored. */
  readonly isMirrored: boolean;
}

/** The placement of the art compared with the manifest; `space` is that of the artwork's page and box. */
export function artPlacement(
  panel: ManifestPanel,
  { geometry }: PanelDocument,
  art: PanelArt,
  space: PageSpace,
): ArtPlacement {
  const window = space.boxFromRect(rectFromStored(panel.source.windowDrawnMm));
  const mmPerUnit = geometry.userUnit * MM_PER_PT * panel.enlargeBy;
  const { media } = geometry.boxes;
  const onFilm = (x: number, y: number): [Mm, Mm] => {
    const [px, py] = matrixPoint(art.matrix, x, y);
    return [(px - media.x0) * mmPerUnit, (media.y1 - py) * mmPerUnit];
  };
  const [ax, ay] = onFilm(window.x0, window.y0);
  const [bx, by] = onFilm(window.x1, window.y1);
  const expected = rectOfFile(panel, panel.printedBox);
  const [a, b, c, d] = art.matrix;
  return {
    dxMm: (ax + bx) / 2 - (expected.x + expected.width / 2),
    dyMm: (ay + by) / 2 - (expected.y + expected.height / 2),
    scaleX: Math.abs(bx - ax) / expected.width,
    scaleY: Math.abs(by - ay) / expected.height,
    // Turning a page does not change the sign.
    isMirrored: a * d - b * c < 0,
  };
}
