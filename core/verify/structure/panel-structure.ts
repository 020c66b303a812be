/**
 * What a picture cannot show, read from the files: page boxes, place and size of the art, inks, overprint,
 * transparency, layers, output intents.
 */
import { PDFName } from 'pdf-lib';
import type { Rect } from '../../measure/rect.ts';
import type { ManifestPanel } from '../../output/manifest.ts';
import { contentPageFrom } from '../../pdf/content/content-page.ts';
import { pageContent } from '../../pdf/content/page-content.ts';
import { type Artwork, pageWithSpace } from '../../pdf/document/artwork.ts';
import { pageAttribute } from '../../pdf/file/pages.ts';
import type { PageSpace, SourceBox } from '../../pdf/page/page-space.ts';
import { scaleText, shiftText, verificationFault } from '../verification-fault.ts';
import type { VerificationFault, VerificationFaultCode } from '../verification-report.ts';
import { layerDifferences } from './layers-comparison.ts';
import { areBytesEqual, type DifferencePath, ObjectComparison } from './object-equality.ts';
import { type PaintedChange, type PaintedDifference, paintedDifferences } from './painted-comparison.ts';
import { type PaintedObject, paintedObjects } from './painted-objects.ts';
import { claimFaults } from './panel-claim.ts';
import { artPage, type PanelArt, type PanelDocument } from './panel-document.ts';
import { type ArtPlacement, artPlacement, boxDifferences, LENGTH_SLACK_MM } from './panel-placement.ts';

/** The artwork of a verification; what its pages paint is listed once, however many panels there are. */
export class VerificationSource {
  readonly artwork: Artwork;
  readonly #painted = new Map<number, Promise<PaintedObject[]>>();

  constructor(artwork: Artwork) {
    this.artwork = artwork;
  }

  painted(page: number): Promise<PaintedObject[]> {
    const known = this.#painted.get(page);
    if (known) return known;
    const listed = contentPageFrom(this.artwork.file, this.artwork.pages[page - 1]!.page).then(
      paintedObjects,
    );
    this.#painted.set(page, listed);
    return listed;
  }
}

/** @throws PdfProblem where a file turns out to be damaged */
export async function structureFaults(
  panel: ManifestPanel,
  document: PanelDocument,
  source: VerificationSource,
): Promise<VerificationFault[]> {
  const place = { panels: [panel.label], sideCode: panel.sideCode };
  const page = pageWithSpace(source.artwork, panel.source.page, panel.source.box);
  if (!page.ok) return [verificationFault('artwork-changed', place, page.problem.message)];
  const { space } = page.value;
  const faults = [...boxFaults(panel, document), ...(await claimFaults(panel, document))];
  const { art } = document;
  if (art === undefined) {
    return [...faults, verificationFault('art-lost', place, `${panel.label} paints no artwork on its page.`)];
  }
  faults.push(...placementFaults(panel, artPlacement(panel, document, art, space)));

  const comparison = new ObjectComparison(document.pdf.file, source.artwork.file);
  await compareResources(comparison, document, art, source.artwork, panel.source.page);
  faults.push(...objectFaults(panel, comparison.differences));
  for (const { name, expected, found } of await layerDifferences(document.pdf.file, source.artwork.file)) {
    const text = `On ${panel.label} the layer “${name}” is ${found}; in the artwork it is ${expected}.`;
    faults.push(verificationFault('layer-state-changed', place, text));
  }
  const isWhole =
    !comparison.isContentShortened &&
    (await isContentWhole(document, art, source.artwork, panel.source.page));
  if (!isWhole && art.box) {
    const painted = await paintedObjects(await artPage(document, art));
    const differences = paintedDifferences(painted, await source.painted(panel.source.page), art.box);
    faults.push(...paintedFaults(panel, differences, space));
  }
  return faultsOfKinds(faults);
}

async function compareResources(
  comparison: ObjectComparison,
  { pdf: { file }, source: { page: panelPage } }: PanelDocument,
  art: PanelArt,
  artwork: Artwork,
  number: number,
): Promise<void> {
  const { page } = artwork.pages[number - 1]!;
  await comparison.compareResources(
    art.stream.dict.get(PDFName.Resources),
    await pageAttribute(artwork.file, page, 'Resources'),
    [],
  );
  const group = PDFName.of('Group');
  await comparison.compareObjects(panelPage.dict.get(group), page.dict.get(group), ['Group']);
  const intents = PDFName.of('OutputIntents');
  await comparison.compareObjects(
    (await file.catalog()).get(intents),
    (await artwork.file.catalog()).get(intents),
    ['OutputIntents'],
  );
  await comparison.compareObjects(panelPage.dict.get(intents), page.dict.get(intents), ['OutputIntents']);
}

async function isContentWhole(
  { pdf: { file } }: PanelDocument,
  art: PanelArt,
  artwork: Artwork,
  number: number,
): Promise<boolean> {
  const original = await pageContent(artwork.file, artwork.pages[number - 1]!.page);
  const { bytes } = await file.streamDecoded(art.stream);
  return areBytesEqual(bytes, original.bytes);
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
  { dxMm, dyMm, scaleX, scaleY }: ArtPlacement,
): VerificationFault[] {
  const place = { panels: [panel.label], sideCode: panel.sideCode };
  const { widthMm, heightMm } = panel.printedBox;
  const growth = Math.max(Math.abs(scaleX - 1) * widthMm, Math.abs(scaleY - 1) * heightMm);
  const faults: VerificationFault[] = [];
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

const OVERPRINT_KEYS = new Set(['OP', 'op', 'OPM']);
const TRANSPARENCY_KEYS = new Set(['BM', 'SMask', 'CA', 'ca', 'AIS', 'TK', 'Group', 'Mask']);

function objectFaults(panel: ManifestPanel, differences: readonly DifferencePath[]): VerificationFault[] {
  return differences.map((path) => {
    const last = path.at(-1) ?? '';
    const where = path.join(' › ');
    const place = { panels: [panel.label], sideCode: panel.sideCode };
    const said = (code: VerificationFaultCode, what: string) =>
      verificationFault(
        code,
        place,
        `${what} on ${panel.label} ${what.endsWith('s') ? 'are' : 'is'} not as in the artwork (${where}).`,
      );
    if (path[0] === 'OutputIntents') return said('output-intent-lost', 'The output intent');
    if (OVERPRINT_KEYS.has(last)) return said('overprint-lost', 'The overprint setting');
    if (path.includes('OC') || path.includes('Properties')) return said('layer-state-changed', 'A layer');
    if (TRANSPARENCY_KEYS.has(last) || path[0] === 'Group')
      return said('transparency-changed', 'The transparency');
    return said('color-changed', 'A color setting');
  });
}

const CODE_OF_CHANGE: Readonly<Record<PaintedChange, VerificationFaultCode>> = {
  color: 'color-changed',
  overprint: 'overprint-lost',
  transparency: 'transparency-changed',
  layer: 'layer-state-changed',
  added: 'art-added',
  lost: 'art-lost',
};

function paintedFaults(
  panel: ManifestPanel,
  differences: readonly PaintedDifference[],
  space: PageSpace,
): VerificationFault[] {
  return differences.map(({ change, bounds, expected, found }) => {
    const place = { panels: [panel.label], sideCode: panel.sideCode, at: onSide(panel, bounds, space) };
    return verificationFault(CODE_OF_CHANGE[change], place, changeText(panel.label, change, expected, found));
  });
}

function changeText(label: string, change: PaintedChange, expected: string, found: string): string {
  switch (change) {
    case 'color':
      return `An object on ${label} is painted in ${found}; in the artwork it is ${expected}.`;
    case 'overprint':
      return `An object on ${label} does not overprint as it does in the artwork.`;
    case 'transparency':
      return `An object on ${label} is not blended as it is in the artwork.`;
    case 'layer':
      return `An object on ${label} is ${found}; in the artwork it is ${expected}.`;
    case 'added':
      return `${label} paints an object (${found}) that the artwork does not have there.`;
    case 'lost':
      return `${label} lacks an object (${expected}) of the artwork.`;
  }
}

/** Where a box of the artwork's page lies on the side. */
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

/** A lost setting shows at a thousand objects; a few of a kind tell it. */
function faultsOfKinds(faults: readonly VerificationFault[]): VerificationFault[] {
  const counts = new Map<VerificationFaultCode, number>();
  return faults.filter(({ code }) => {
    const count = (counts.get(code) ?? 0) + 1;
    counts.set(code, count);
    return count <= MAX_OF_A_KIND;
  });
}
