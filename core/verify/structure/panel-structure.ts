/**
 * Checks what a picture cannot show, read from the files: page boxes, place and size of the art, and that the panel
 * paints what the artwork paints there, object by object and parameter by parameter. It shares no code with the cut.
 */

import { PDFName } from 'pdf-lib';
import { rectFromStored } from '../../job/stored-rect.ts';
import { itemAt, present } from '../../measure/present.ts';
import type { Rect } from '../../measure/rect.ts';
import type { ManifestPanel } from '../../output/manifest.ts';
import { contentPageFrom } from '../../pdf/content/content-page.ts';
import { type Artwork, pageWithSpace, visibleBox } from '../../pdf/document/artwork.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';
import { boxIntersection, type PageSpace, type SourceBox } from '../../pdf/page/page-space.ts';
import { scaleText, shiftText, verificationFault } from '../verification-fault.ts';
import type { VerificationFault, VerificationFaultCode } from '../verification-report.ts';
import { paintedSequence } from './content-walk.ts';
import { type SamplesClaimed, samplesClaimed } from './image-match.ts';
import { layerDifferences } from './layers-comparison.ts';
import { ObjectDigests } from './object-digests.ts';
import { boxOfUnit } from './painted-boxes.ts';
import type { PaintedDetail, PaintedSequence } from './painted-sequence.ts';
import { artToWalk, type PanelArt, type PanelDocument, pageToWalk } from './panel-document.ts';
import { type ArtPlacement, artPlacement, boxDifferences, LENGTH_SLACK_MM } from './panel-placement.ts';
import { type SequenceDifference, sequencesCompared } from './sequence-comparison.ts';

/** Called and awaited now and then; it may throw to stop. */
type Pause = () => Promise<void> | void;

/** The artwork of a verification. Its pages are listed once, however many panels there are. */
export class VerificationSource {
  readonly artwork: Artwork;
  readonly digests: ObjectDigests;
  readonly #painted = new Map<number, Promise<PaintedSequence>>();

  constructor(artwork: Artwork) {
    this.artwork = artwork;
    this.digests = new ObjectDigests(artwork.file);
  }

  painted(page: number, pause: Pause): Promise<PaintedSequence> {
    const known = this.#painted.get(page);
    if (known) return known;
    // One page at a time, because a large drawing takes much memory.
    this.#painted.clear();
    const listed = this.walked(page, pause, new Set());
    this.#painted.set(page, listed);
    return listed;
  }

  async walked(page: number, pause: Pause, details: ReadonlySet<number>): Promise<PaintedSequence> {
    const { file, pages } = this.artwork;
    const source = itemAt(pages, page - 1).page;
    const { box } = await contentPageFrom(file, source);
    return await paintedSequence(await pageToWalk(file, source, this.digests, box), { pause, details });
  }
}

export interface PanelStructure {
  readonly faults: readonly VerificationFault[];
  /** Samples that remain to be compared. */
  readonly samples: readonly SamplesClaimed[];
  /** Whether everything that the panel paints could be read and compared; otherwise pictures must decide. */
  readonly isRead: boolean;
}

/** @throws PdfProblem where the panel turns out to be damaged */
export async function panelStructure(
  panel: ManifestPanel,
  document: PanelDocument,
  source: VerificationSource,
  pause: Pause,
): Promise<PanelStructure> {
  const place = { panels: [panel.label], sideCode: panel.sideCode };
  const page = pageWithSpace(source.artwork, panel.source.page, panel.source.box);
  const only = (...found: VerificationFault[]): PanelStructure => ({
    faults: found,
    samples: [],
    isRead: true,
  });
  if (!page.ok) return only(verificationFault('artwork-changed', place, page.problem.message));
  const { space, geometry } = page.value;
  const faults = boxFaults(panel, document);
  const { art } = document;
  if (art === undefined) {
    const text = `${panel.label} paints no artwork on its page.`;
    return only(...faults, verificationFault('art-lost', place, text));
  }
  faults.push(...placementFaults(panel, artPlacement(panel, document, art, space)));
  const window = boxIntersection(
    space.boxFromRect(rectFromStored(panel.source.windowDrawnMm)),
    visibleBox(geometry, panel.source.box),
  );
  faults.push(...outlineFaults(panel, art, window, space), ...(await settingFaults(panel, document, source)));
  faults.push(...contourFaults(panel, document));
  if (document.beside.isOnArt) {
    const text = `${panel.label} paints something over its art that the artwork does not have.`;
    faults.push(verificationFault('art-added', place, text));
  }
  const painted = await paintedFaults(panel, { document, art }, source, space, pause);
  return {
    ...painted,
    faults: faultsOfKinds([...faults, ...painted.faults]),
    isRead: painted.isRead && document.beside.isInBorder,
  };
}

/** Checks the settings around the art: how it is painted, groups, output intents, layers. */
async function settingFaults(
  panel: ManifestPanel,
  document: PanelDocument,
  { artwork, digests }: VerificationSource,
): Promise<VerificationFault[]> {
  const place = { panels: [panel.label], sideCode: panel.sideCode };
  const faults: VerificationFault[] = [];
  const { file } = document.pdf;
  const ours = document.source.page.dict;
  const theirs = itemAt(artwork.pages, panel.source.page - 1).page.dict;
  if (!present(document.art, 'The art of a panel').isPlain) {
    const text = `${panel.label} paints the artwork more than once, or with settings that the artwork does not have.`;
    faults.push(verificationFault('transparency-changed', place, text));
  }
  const differs = async (key: string, inPanel = ours, inSource = theirs): Promise<boolean> => {
    const name = PDFName.of(key);
    return (await document.digests.of(inPanel.get(name))) !== (await digests.of(inSource.get(name)));
  };
  if (await differs('Group')) {
    const text = `The page of ${panel.label} is not blended as a whole as that of the artwork is.`;
    faults.push(verificationFault('transparency-changed', place, text));
  }
  const catalogs = [await file.catalog(), await artwork.file.catalog()] as const;
  if ((await differs('OutputIntents')) || (await differs('OutputIntents', ...catalogs))) {
    const text = `The output intent of ${panel.label} is not that of the artwork.`;
    faults.push(verificationFault('output-intent-lost', place, text));
  }
  for (const { name, expected, found } of await layerDifferences(file, artwork.file)) {
    const text = `On ${panel.label} the layer “${name}” is ${found}; in the artwork it is ${expected}.`;
    faults.push(verificationFault('layer-state-changed', place, text));
  }
  return faults;
}

/** Cut contours must be present where the manifest says so, in its ink, around the printed area. */
function contourFaults(panel: ManifestPanel, { contours, geometry }: PanelDocument): VerificationFault[] {
  const { label, sideCode, contourInk } = panel;
  if (!contours && contourInk === undefined) return [];
  const { bleed } = geometry.boxes;
  const isAround =
    contours &&
    (['x0', 'y0', 'x1', 'y1'] as const).every(
      (edge) => Math.abs(contours.box[edge] - bleed[edge]) <= CONTOUR_SLACK,
    );
  if (contours && contours.ink === contourInk && isAround) return [];
  const text = !contours
    ? `${label} lacks the cut contours in “${contourInk}” that the manifest lists.`
    : contours.ink === contourInk
      ? `The cut contours of ${label} do not lie around what is printed.`
      : `${label} has cut contours in “${contours.ink}”; the manifest lists ${contourInk === undefined ? 'none' : `“${contourInk}”`}.`;
  return [verificationFault('contour-wrong', { panels: [label], sideCode }, text)];
}

/** In units of the panel's page, because numbers are written with a few digits. */
const CONTOUR_SLACK = 0.05;

/**
 * The art must end at the printed area's edge: a smaller one is incomplete, a larger one covers the neighbor's part.
 */
function outlineFaults(
  panel: ManifestPanel,
  { box }: PanelArt,
  window: SourceBox | undefined,
  space: PageSpace,
): VerificationFault[] {
  if (!box || !window) return [];
  const slack = LENGTH_SLACK_MM / (space.mmPerUnit * panel.scale) + 1e-6;
  const edges = [box.x0 - window.x0, box.y0 - window.y0, window.x1 - box.x1, window.y1 - box.y1];
  const place = { panels: [panel.label], sideCode: panel.sideCode };
  if (edges.some((edge) => edge > slack))
    return [verificationFault('art-lost', place, `The art of ${panel.label} ends within its printed area.`)];
  if (edges.some((edge) => edge < -slack))
    return [verificationFault('art-added', place, `The art of ${panel.label} goes beyond its printed area.`)];
  return [];
}

async function paintedFaults(
  panel: ManifestPanel,
  { document, art }: { readonly document: PanelDocument; readonly art: PanelArt },
  source: VerificationSource,
  space: PageSpace,
  pause: Pause,
): Promise<PanelStructure> {
  const { page } = panel.source;
  let original: PaintedSequence;
  try {
    original = await source.painted(page, pause);
  } catch (error) {
    // Artwork that cannot be read completely was cut all the same; pictures must check what it shows.
    if (!isPdfProblem(error)) throw error;
    return { faults: [], samples: [], isRead: false };
  }
  const walked = await artToWalk(document, art);
  const painted = await paintedSequence(walked, { pause });
  const { differences, images } = sequencesCompared(painted, original, art.box ?? walked.box);
  const faults = await differenceFaults(panel, differences, space, {
    panel: async (details) => await paintedSequence(walked, { pause, details }),
    source: async (details) => await source.walked(page, pause, details),
  });
  const [a, b] = art.matrix;
  const files = { panel: document.pdf.file, source: source.artwork.file, pointsPerUnit: Math.hypot(a, b) };
  const samples: SamplesClaimed[] = [];
  for (const pair of images) {
    const claimed = await samplesClaimed(pair, files);
    if (typeof claimed !== 'string') samples.push(...claimed);
    else {
      const at = onSide(panel, boxOfUnit(pair[0].ctm), space);
      const text = `A picture on ${panel.label} ${claimed}.`;
      faults.push(
        verificationFault('samples-changed', { panels: [panel.label], sideCode: panel.sideCode, at }, text),
      );
    }
  }
  return { faults, samples, isRead: painted.troubles.length === 0 && original.troubles.length === 0 };
}

type Walked = (details: ReadonlySet<number>) => Promise<PaintedSequence>;

/** Walks both once more for the differences, in words. */
async function differenceFaults(
  panel: ManifestPanel,
  differences: readonly SequenceDifference[],
  space: PageSpace,
  walks: { readonly panel: Walked; readonly source: Walked },
): Promise<VerificationFault[]> {
  if (differences.length === 0) return [];
  const ours = await walks.panel(new Set(differences.flatMap(({ inPanel }) => inPanel ?? [])));
  const theirs = await walks.source(new Set(differences.flatMap(({ inSource }) => inSource ?? [])));
  return differences.map(({ inPanel, inSource }) => {
    const found = inPanel === undefined ? undefined : ours.details.get(inPanel);
    const expected = inSource === undefined ? undefined : theirs.details.get(inSource);
    const box =
      (inSource === undefined ? undefined : theirs.box(inSource)) ??
      (inPanel === undefined ? undefined : ours.box(inPanel));
    const at = box && onSide(panel, box, space);
    const [code, text] = differenceWords(panel, expected, found, space);
    return verificationFault(code, { panels: [panel.label], sideCode: panel.sideCode, at }, text);
  });
}

function differenceWords(
  panel: ManifestPanel,
  expected: PaintedDetail | undefined,
  found: PaintedDetail | undefined,
  space: PageSpace,
): readonly [VerificationFaultCode, string] {
  const { label } = panel;
  if (!expected) {
    const { kind } = present(found, 'An object of a panel');
    return ['art-added', `${label} paints an object (${kind}) that the artwork does not have there.`];
  }
  if (!found) return ['art-lost', `${label} lacks an object (${expected.kind}) of the artwork.`];
  const isDifferent = (aspect: keyof PaintedDetail): boolean => expected[aspect] !== found[aspect];
  if (isDifferent('layer')) {
    const shown = (detail: PaintedDetail) => (detail.isVisible ? 'shown' : 'hidden');
    const text =
      expected.isVisible === found.isVisible
        ? `An object on ${label} is not in the layer that it has in the artwork.`
        : `An object on ${label} is ${shown(found)}; in the artwork it is ${shown(expected)}.`;
    return ['layer-state-changed', text];
  }
  if (isDifferent('overprint'))
    return ['overprint-lost', `An object on ${label} does not overprint as it does in the artwork.`];
  if (isDifferent('transparency'))
    return ['transparency-changed', `An object on ${label} is not blended as it is in the artwork.`];
  if (isDifferent('color')) {
    const text =
      expected.colorWords === found.colorWords
        ? `A color on ${label}${found.colorWords && ` (${found.colorWords})`} is not rendered as in the artwork.`
        : `An object on ${label} is painted in ${found.colorWords}; in the artwork it is ${expected.colorWords}.`;
    return ['color-changed', text];
  }
  if (isDifferent('place')) return placeWords(panel, expected, found, space);
  if (found.kind === 'image' && !isDifferent('clip'))
    return ['samples-changed', `A picture on ${label} does not lie where it lies in the artwork.`];
  const what = isDifferent('clip')
    ? 'is clipped in another way'
    : 'is drawn with another line or lettering style';
  return ['art-changed', `An object on ${label} ${what} than in the artwork.`];
}

function placeWords(
  panel: ManifestPanel,
  expected: PaintedDetail,
  found: PaintedDetail,
  space: PageSpace,
): readonly [VerificationFaultCode, string] {
  const [a, b, c, d, e, f] = expected.ctm;
  const [A, B, C, D, E, F] = found.ctm;
  const isSameSize = Math.max(Math.abs(A - a), Math.abs(B - b), Math.abs(C - c), Math.abs(D - d)) < 1e-9;
  if (!isSameSize)
    return ['panel-scaled', `An object on ${panel.label} does not have the size that it has in the artwork.`];
  const from = onSide(panel, { x0: e, y0: f, x1: e, y1: f }, space);
  const to = onSide(panel, { x0: E, y0: F, x1: E, y1: F }, space);
  const shift = shiftText(to.x - from.x, to.y - from.y);
  const far = shift === '' ? 'a little aside' : shift;
  return ['panel-shifted', `An object on ${panel.label} lies ${far} of where it should.`];
}

function boxFaults(panel: ManifestPanel, document: PanelDocument): VerificationFault[] {
  return boxDifferences(panel, document).map(({ box, meaning, expected, found }) => {
    const size = ({ width, height }: Rect) => `${width.toFixed(1)} × ${height.toFixed(1)} mm`;
    const place = ({ x, y }: Rect) => ` at ${x.toFixed(1)}, ${y.toFixed(1)} mm`;
    const isMoved = size(expected) === size(found);
    const text = `The ${box} of ${panel.label} is ${size(found)}${isMoved ? place(found) : ''}; the manifest says that the ${meaning} is ${size(expected)}${isMoved ? place(expected) : ''}.`;
    return verificationFault('box-wrong', { panels: [panel.label], sideCode: panel.sideCode }, text);
  });
}

function placementFaults(
  panel: ManifestPanel,
  { dxMm, dyMm, scaleX, scaleY, isMirrored }: ArtPlacement,
): VerificationFault[] {
  const place = { panels: [panel.label], sideCode: panel.sideCode };
  const { widthMm, heightMm } = panel.printedBox;
  const growth = Math.max(Math.abs(scaleX - 1) * widthMm, Math.abs(scaleY - 1) * heightMm);
  const faults: VerificationFault[] = [];
  if (isMirrored !== (panel.mirrored ?? false))
    faults.push(
      verificationFault(
        'panel-mirrored',
        place,
        `The art of ${panel.label} is ${isMirrored ? 'mirrored; the manifest says that it is not' : 'not mirrored; the manifest says that it is'}.`,
      ),
    );
  if (growth > LENGTH_SLACK_MM)
    faults.push(
      verificationFault('panel-scaled', place, `The art of ${panel.label} is ${scaleText(scaleX, scaleY)}.`),
    );
  else if (Math.hypot(dxMm, dyMm) > LENGTH_SLACK_MM)
    faults.push(
      verificationFault(
        'panel-shifted',
        place,
        `The art of ${panel.label} lies ${shiftText(dxMm, dyMm)} of where it should.`,
      ),
    );
  return faults;
}

/** Where a box of the artwork's page is on the side. */
function onSide(panel: ManifestPanel, box: SourceBox, space: PageSpace): Rect<'finished'> {
  const { scale, printedBox, source } = panel;
  const drawn = space.rectFromBox(box);
  return {
    x: (drawn.x - source.windowDrawnMm.xMm) * scale + printedBox.xMm,
    y: (drawn.y - source.windowDrawnMm.yMm) * scale + printedBox.yMm,
    width: drawn.width * scale,
    height: drawn.height * scale,
  };
}

const MAX_OF_A_KIND = 3;

/** A lost setting appears at a thousand objects; a few of each kind are enough. */
function faultsOfKinds(faults: readonly VerificationFault[]): VerificationFault[] {
  const counts = new Map<VerificationFaultCode, number>();
  return faults.filter(({ code }) => {
    const count = (counts.get(code) ?? 0) + 1;
    counts.set(code, count);
    return count <= MAX_OF_A_KIND;
  });
}
