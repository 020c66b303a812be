/** Panel guides as one PDF: one page per side, one layer per kind of line (ISO 32000-1, 8.11), one spot ink (8.6.6.4). */
import { PDFDocument, PDFName, PDFPage, type PDFRef, PDFString } from 'pdf-lib';
import { type DocumentFacts, writeFacts } from '../drawing/document-facts.ts';
import { numberText } from '../drawing/pdf-content.ts';
import type { PathStep } from '../drawing/text-outlines.ts';
import { type Rect, rectBottom, rectRight } from '../measure/rect.ts';
import { type Mm, ptFromMm } from '../measure/units.ts';
import { GUIDE_INK, GUIDE_LAYER_KINDS, GUIDE_LAYERS } from './guide-names.ts';
import type { GuideStroke, PanelGuide } from './panel-guide.ts';

/** Look of the ink where it is not loaded, a color that no vehicle is painted in. In CMYK. */
export const GUIDE_COLOR = [0, 1, 0, 0] as const;

export async function guidePdf(guides: readonly PanelGuide[], facts: DocumentFacts): Promise<Uint8Array> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  const { context } = doc;
  writeFacts(doc, facts);
  const layers = GUIDE_LAYER_KINDS.map((kind) =>
    context.register(context.obj({ Type: 'OCG', Name: PDFString.of(GUIDE_LAYERS[kind]) })),
  );
  const states = { Name: PDFString.of(GUIDE_INK), BaseState: 'ON', Order: layers, ON: layers };
  doc.catalog.set(PDFName.of('OCProperties'), context.obj({ OCGs: layers, D: states }));
  const tint = { FunctionType: 2, Domain: [0, 1], C0: [0, 0, 0, 0], C1: [...GUIDE_COLOR], N: 1 };
  const ink = context.register(context.obj(['Separation', GUIDE_INK, 'DeviceCMYK', tint]));
  for (const guide of guides) addGuide(doc, guide, layers, ink);
  return await doc.save({ useObjectStreams: true, addDefaultPage: false });
}

const layerName = (index: number): string => `L${index + 1}`;

function addGuide(
  doc: PDFDocument,
  { page: size, layers }: PanelGuide,
  groups: readonly PDFRef[],
  ink: PDFRef,
): void {
  const { context } = doc;
  const page = PDFPage.create(doc);
  page.setSize(ptFromMm(size.widthMm), ptFromMm(size.heightMm));
  const box = (rect: Rect) =>
    context.obj([
      ptFromMm(rect.x),
      ptFromMm(size.heightMm - rectBottom(rect)),
      ptFromMm(rectRight(rect)),
      ptFromMm(size.heightMm - rect.y),
    ]);
  page.node.set(PDFName.of('TrimBox'), box(size.trim));
  page.node.set(PDFName.of('BleedBox'), box(size.bleed));
  const content = layers.flatMap(({ strokes }, index) => [
    `/OC /${layerName(index)} BDC`,
    '/Ink CS 1 SCN 1 j',
    ...strokes.map((stroke) => strokeOperators(stroke, size.heightMm)),
    'EMC',
  ]);
  page.node.set(PDFName.of('Contents'), context.register(context.flateStream(content.join('\n'))));
  page.node.set(
    PDFName.of('Resources'),
    context.obj({
      ColorSpace: { Ink: ink },
      Properties: Object.fromEntries(groups.map((group, index) => [layerName(index), group])),
    }),
  );
  doc.addPage(page);
}

function strokeOperators({ steps, widthMm, dashMm = [] }: GuideStroke, heightMm: Mm): string {
  const length = (mm: Mm) => numberText(ptFromMm(mm));
  const path = steps.map((step) => stepOperator(step, heightMm));
  return [`${length(widthMm)} w [${dashMm.map(length).join(' ')}] 0 d`, ...path, 'S'].join('\n');
}

function stepOperator(step: PathStep, heightMm: Mm): string {
  const [kind, ...places] = step;
  if (kind === 'Z') return 'h';
  const numbers = places.map((mm, index) => numberText(ptFromMm(index % 2 === 0 ? mm : heightMm - mm)));
  return `${numbers.join(' ')} ${kind.toLowerCase()}`;
}
