/**
 * Compares one side of a job in two artworks, panel by panel. Panels whose objects are all equal have the same content.
 * For the rest, letters, colors and samples are compared and two renderers draw the panel: if all of that is equal the
 * picture is the same, otherwise the panel has changed.
 */

import { listText } from '../measure/list-text.ts';
import type { PageBox } from '../measure/page-box.ts';
import { bothMapped, pairsOf } from '../measure/pairs.ts';
import { present } from '../measure/present.ts';
import { type Rect, rectArea, rectIntersection, rectsUnionArea } from '../measure/rect.ts';
import type { SameProof } from '../output/artwork-comparison.ts';
import { isPdfProblem } from '../pdf/file/pdf-problem.ts';
import { picturesCompared } from '../verify/picture-comparison.ts';
import { type PixelWindow, SideGrid } from '../verify/side-grid.ts';
import type { VerificationPicture } from '../verify/verification-picture.ts';
import { placesMerged } from './changed-places.ts';
import { colorDifferences, letterDifferences } from './evidence-differences.ts';
import { isSameInWindow } from './object-changes.ts';
import type { ComparedSamples, PageComparison } from './page-comparison.ts';
import type { ComparedArtwork } from './page-objects.ts';
import { boxOfPart, mayShowIn, objectBound, type PageObjects, type Pause } from './page-objects.ts';
import { type PaintEvidence, paintEvidence } from './paint-evidence.ts';
import type { SidePlace } from './side-place.ts';

/** One of the two artworks, and the side's place on its page. */
export interface SideInArtwork {
  /** Which of the two artworks. */
  readonly index: 0 | 1;
  readonly artwork: ComparedArtwork;
  readonly page: number;
  readonly box: PageBox;
  readonly scale: number;
  readonly place: SidePlace;
}

export interface PrintedPanel {
  readonly id: string;
  readonly label: string;
  readonly printed: Rect<'finished'>;
}

export interface SidePair {
  readonly sides: readonly [before: SideInArtwork, after: SideInArtwork];
  readonly pages: PageComparison;
  /** All panels of this side that are on the page. */
  readonly panels: readonly PrintedPanel[];
}

export type RendererName = 'pdfium' | 'pdfjs';

export interface SideComparisonTools {
  readonly samples: ComparedSamples;
  pause: Pause;
  onPanel(label: string): void;
  /** Draws a window of the side's grid in both artworks; undefined where one of them cannot be drawn. */
  draw(
    renderer: RendererName,
    sides: SidePair['sides'],
    grid: SideGrid,
    window: PixelWindow,
  ): Promise<readonly [VerificationPicture, VerificationPicture] | undefined>;
}

export interface PanelVerdict {
  readonly id: string;
  readonly verdict: 'unchanged' | 'changed' | 'outside';
  readonly proof?: SameProof;
  readonly changedShare: number;
  readonly places: readonly Rect<'finished'>[];
  readonly reasons: readonly string[];
}

/** The parts of a panel that its objects did not prove equal. */
interface OpenPanel {
  readonly panel: PrintedPanel;
  readonly regions: readonly Rect<'finished'>[];
  readonly resampled: readonly Rect<'finished'>[];
  readonly isOtherCondition: boolean;
}

/** Keeps CA3. */
export async function sideCompared(pair: SidePair, tools: SideComparisonTools): Promise<PanelVerdict[]> {
  const open = pair.panels.flatMap((panel) => openPanel(panel, pair) ?? []);
  const toLookAt = open.filter(({ regions }) => regions.length > 0);
  const evidence = await evidenceOf(toLookAt, pair);
  const verdicts: PanelVerdict[] = [];
  const beside = placesBeside(pair);
  for (const panel of pair.panels) {
    await tools.pause();
    tools.onPanel(panel.label);
    const opened = open.find((each) => each.panel === panel);
    const seen = opened && evidence?.[toLookAt.indexOf(opened)];
    const found = opened
      ? await openVerdict(opened, seen, evidence !== undefined, pair, tools)
      : sameVerdict(panel, 'same-content');
    const places = found.verdict === 'unchanged' ? beside.get(panel.id) : undefined;
    verdicts.push(
      places
        ? { ...found, verdict: 'outside', places: placesMerged(places.rects), reasons: [places.reason] }
        : found,
    );
  }
  return verdicts;
}

const sameVerdict = ({ id }: PrintedPanel, proof: SameProof): PanelVerdict => ({
  id,
  verdict: 'unchanged',
  proof,
  changedShare: 0,
  places: [],
  reasons: [],
});

/** A hairline at the edge of an object still belongs to it. */
const REACH_MM = 0.5;
/** If a panel has more parts than this, they are compared as one. */
const MOST_REGIONS = 8;

function openPanel(panel: PrintedPanel, { sides, pages }: SidePair): OpenPanel | undefined {
  const { printed } = panel;
  const [before, after] = sides;
  const windows = [before.place.box(printed), after.place.box(printed)] as const;
  const within = (rect: Rect<'finished'>) => rectIntersection(rect, printed);
  const resampled = pages.resampled.flatMap(({ box, isHidden }) =>
    isHidden ? [] : (within(after.place.rect(box)) ?? []),
  );
  const boundsOf = (objects: PageObjects, at: readonly number[], { place }: SideInArtwork, index: 0 | 1) =>
    at
      .filter((i) => objects.hidden[i] === 0 && mayShowIn(objects, i, windows[index]))
      .flatMap((i) => within(grownBy(place.rect(objectBound(objects, i)), REACH_MM)) ?? []);
  const isRead = pages.before.isRead && pages.after.isRead;
  const isOtherCondition = pages.before.condition !== pages.after.condition;
  const isBlended = pages.before.group === pages.after.group;
  const doubts = [
    ...boundsOf(pages.before, pages.doubtful.before, before, 0),
    ...boundsOf(pages.after, pages.doubtful.after, after, 1),
  ];
  const isSame =
    isRead && isBlended && doubts.length === 0 && isSameInWindow(pages.before, pages.after, windows);
  if (isSame && resampled.length === 0 && !isOtherCondition) return undefined;
  const isWhole = !isRead || !isBlended || (doubts.length === 0 && !isSame);
  const regions = isWhole ? [printed] : placesMerged(doubts, MOST_REGIONS);
  return { panel, regions, resampled, isOtherCondition };
}

const grownBy = ({ x, y, width, height }: Rect<'finished'>, by: number): Rect<'finished'> => ({
  x: x - by,
  y: y - by,
  width: width + 2 * by,
  height: height + 2 * by,
});

/** Evidence for all panels, in one walk through each page; undefined where a page cannot be read. */
async function evidenceOf(
  open: readonly OpenPanel[],
  { sides }: SidePair,
): Promise<readonly (readonly [PaintEvidence, PaintEvidence])[] | undefined> {
  if (open.length === 0) return [];
  try {
    const regions = open.map((each) => each.regions);
    const [before, after] = await Promise.all(
      bothMapped(sides, ({ artwork, page, place }) => paintEvidence(artwork.artwork, page, regions, place)),
    );
    return pairsOf(before, after);
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

async function openVerdict(
  open: OpenPanel,
  seen: readonly [PaintEvidence, PaintEvidence] | undefined,
  isReadable: boolean,
  pair: SidePair,
  tools: SideComparisonTools,
): Promise<PanelVerdict> {
  const { panel, regions, resampled, isOtherCondition } = open;
  const places: Rect<'finished'>[] = [...resampled];
  const reasons: string[] = [];
  if (resampled.length > 0) reasons.push('The samples of a picture have changed.');
  if (isOtherCondition) {
    places.push(panel.printed);
    reasons.push('The artwork is made for another print condition: its output intent has changed.');
  }
  if (regions.length > 0) {
    if (!isReadable)
      reasons.push('The page cannot be read whole, so letters and colors could not be compared.');
    if (seen) {
      const told = await evidenceDifferences(seen, open, pair, tools.samples);
      places.push(...told.places);
      reasons.push(...told.reasons);
    }
    const drawn = await pictureDifferences(open, pair, tools, reasons.length === 0);
    places.push(...drawn.places);
    if (reasons.length === 0) reasons.push(...drawn.reasons);
  }
  if (reasons.length === 0) return sameVerdict(panel, 'same-picture');
  const shown = places.flatMap((place) => rectIntersection(place, panel.printed) ?? []);
  const merged = placesMerged(shown.length > 0 ? shown : regions);
  return {
    id: panel.id,
    verdict: 'changed',
    changedShare: Math.min(1, rectsUnionArea(merged) / rectArea(panel.printed)),
    places: merged,
    reasons: [...new Set(reasons)],
  };
}

interface Differences {
  readonly places: readonly Rect<'finished'>[];
  readonly reasons: readonly string[];
}

const MOST_NAMED = 3;

async function evidenceDifferences(
  [before, after]: readonly [PaintEvidence, PaintEvidence],
  { regions, panel }: OpenPanel,
  { sides }: SidePair,
  samples: ComparedSamples,
): Promise<Differences> {
  const inner = regions.map((region) => grownBy(region, -REACH_MM));
  const isAtEdge = ({ rect }: { readonly rect: Rect<'finished'> }) =>
    !inner.some((region) => region.width > 0 && region.height > 0 && rectIntersection(region, rect));
  const letters = letterDifferences(before.letters, after.letters, isAtEdge);
  const colors = colorDifferences(before.colors, after.colors).filter((color) => !isAtEdge(color));
  const places = [...letters.places, ...colors.map(({ rect }) => rect)];
  const reasons: string[] = [];
  if (letters.count > 0)
    reasons.push(letters.count === 1 ? 'A letter has changed.' : `${letters.count} letters have changed.`);
  if (colors.length > 0) {
    const inks = [
      ...new Set(colors.flatMap(({ kind }) => /^ink (.+?)(?: overprint)?$/.exec(kind)?.[1] ?? [])),
    ];
    const named = inks.length > 0 && inks.length <= MOST_NAMED ? ` (${listText(inks)})` : '';
    reasons.push(`Colors have changed${named}.`);
  }
  const left = [...after.pictures];
  for (const was of before.pictures) {
    // Pictures at the same place are matched in painting order.
    const at = left.findIndex(({ rect }) => isSamePlace(rect, was.rect));
    if (at < 0) continue;
    const [is] = left.splice(at, 1) as [(typeof left)[number]];
    const found = await samples.of(
      { file: sides[0].artwork.artwork.file, stream: was.stream },
      { file: sides[1].artwork.artwork.file, stream: is.stream },
    );
    if (found.kind !== 'changed') continue;
    const shown = found.parts
      .map((part) => sides[1].place.rect(boxOfPart(part, is)))
      .filter((rect) => rectIntersection(rect, panel.printed));
    places.push(...shown);
    if (shown.length > 0) reasons.push('The samples of a picture have changed.');
  }
  return { places, reasons };
}

const isSamePlace = (a: Rect<'finished'>, b: Rect<'finished'>): boolean => {
  const slack = REACH_MM + 1e-3 * Math.max(a.width, a.height);
  return (
    Math.abs(a.x - b.x) <= slack &&
    Math.abs(a.y - b.y) <= slack &&
    Math.abs(a.width - b.width) <= slack &&
    Math.abs(a.height - b.height) <= slack
  );
};

/** Edge in pixels of the squares by which places in a picture are reported. */
const TILE = 48;

/**
 * Always drawn by the first renderer, to find the place; by the second only where nothing else has found a difference.
 */
async function pictureDifferences(
  { regions, panel }: OpenPanel,
  pair: SidePair,
  tools: SideComparisonTools,
  needsProof: boolean,
): Promise<Differences> {
  const places: Rect<'finished'>[] = [];
  const reasons: string[] = [];
  for (const renderer of ['pdfium', 'pdfjs'] as const) {
    if (renderer === 'pdfjs' && (!needsProof || places.length > 0)) break;
    for (const region of regions) {
      const grid = SideGrid.fitting([region]);
      const window = grid.around(region);
      const pictures = await tools.draw(renderer, pair.sides, grid, window);
      if (!pictures) {
        reasons.push('It could not be drawn, so that it is not known whether it has changed.');
        places.push(region);
        continue;
      }
      const compared = picturesCompared(pictures[0], pictures[1], window);
      if (compared.differingPixels === 0) continue;
      reasons.push('It looks different.');
      const tiles = differingTiles(pictures, window);
      for (const tile of tiles.length > 0
        ? tiles
        : [present(compared.differing, 'Where two pictures differ')]) {
        const place = rectIntersection(grid.rect(tile), panel.printed);
        if (place) places.push(place);
      }
    }
  }
  return { places, reasons };
}

function differingTiles(
  [before, after]: readonly [VerificationPicture, VerificationPicture],
  window: PixelWindow,
): PixelWindow[] {
  const found: PixelWindow[] = [];
  for (let y = window.y; y < window.y + window.height; y += TILE) {
    for (let x = window.x; x < window.x + window.width; x += TILE) {
      const width = Math.min(TILE, window.x + window.width - x);
      const height = Math.min(TILE, window.y + window.height - y);
      const { differing } = picturesCompared(before, after, { x, y, width, height });
      if (differing) found.push(differing);
    }
  }
  return found;
}

/** With a smaller share of common objects the page was written anew, so objects beside its panels tell nothing. */
const LEAST_PAIRS = 0.5;

interface Beside {
  readonly rects: Rect<'finished'>[];
  readonly reason: string;
}

/** Changes that do not print, assigned to the panels that they are on or next to. */
function placesBeside({ sides, pages, panels }: SidePair): ReadonlyMap<string, Beside> {
  const found = new Map<string, Beside>();
  const { before, after, doubtful, resampled, pairCount } = pages;
  if (pairCount < LEAST_PAIRS * Math.max(before.prints.length, after.prints.length)) return found;
  const add = (box: Parameters<SidePlace['rect']>[0], isHidden: boolean, place: SidePlace): void => {
    if (!(box.x1 >= box.x0 && box.y1 >= box.y0)) return;
    const rect = place.rect(box);
    const on = panels.filter(({ printed }) => rectIntersection(printed, rect));
    if (on.length > 0 && !isHidden) return;
    for (const { id } of on.length > 0 ? on : nearest(panels, rect)) {
      const reason =
        on.length > 0
          ? 'Something has changed on a layer that does not print.'
          : 'Something has changed beside it.';
      const known = found.get(id) ?? { rects: [], reason };
      if (known.rects.length < MOST_BESIDE) known.rects.push(rect);
      found.set(id, known);
    }
  };
  for (const i of doubtful.before) add(objectBound(before, i), before.hidden[i] === 1, sides[0].place);
  for (const i of doubtful.after) add(objectBound(after, i), after.hidden[i] === 1, sides[1].place);
  for (const { box, isHidden } of resampled) add(box, isHidden, sides[1].place);
  return found;
}

const MOST_BESIDE = 200;

function nearest(panels: readonly PrintedPanel[], to: Rect<'finished'>): readonly PrintedPanel[] {
  const distance = ({ printed }: PrintedPanel) =>
    Math.hypot(
      Math.max(0, printed.x - to.x - to.width, to.x - printed.x - printed.width),
      Math.max(0, printed.y - to.y - to.height, to.y - printed.y - printed.height),
    );
  const [first] = panels.toSorted((a, b) => distance(a) - distance(b));
  return first ? [first] : [];
}
