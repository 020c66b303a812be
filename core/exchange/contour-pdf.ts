/**
 * Contours as a separate PDF of the same size as their file, with processing steps of ISO 19593-1: GTS_ProcStepsGroup
 * and GTS_ProcStepsType of a layer state what is done along its lines. The entries, and their place in GTS_Metadata of
 * the layer, are from the Arlington PDF model (OptContentGroup, GTS_ProcStepsGroup). Second hand: a step overprints in
 * a separate ink, has no transparency and no picture, and stays on.
 */
import { type PDFContext, PDFDocument, PDFName, PDFPage, PDFString } from 'pdf-lib';
import { pagePlan } from '../cut/panel-geometry.ts';
import { type DocumentFacts, writeFacts } from '../drawing/document-facts.ts';
import { numberText } from '../drawing/pdf-content.ts';
import type { Mm } from '../measure/units.ts';
import { CONTOUR_KINDS, type ContourKind, type ContourPath, type Contours } from './contours.ts';

export const CONTOUR_LAYERS: Readonly<Record<ContourKind, string>> = {
  outline: 'Panel outline',
  openings: 'Openings',
  'strip-cuts': 'Strip cuts',
};

const INK = 'Cutting';
/** Screen color where the ink is not loaded, in CMYK. */
const COLOR = [0, 1, 0, 0] as const;
export const CONTOUR_LINE_MM: Mm = 0.25;
/** The processing step in a layer's metadata. */
export const CUTTING_STEP = {
  GTS_Metadata: { GTS_ProcStepsGroup: 'Structural', GTS_ProcStepsType: 'Cutting' },
} as const;
/** Written before the lines. */
export const CONTOUR_SETTINGS = '/Over gs /Ink CS 1 SCN 1 j';

/** An ink name that the artwork does not use; names that differ only in case do not distinguish inks on a press. */
export function cuttingInk(usedInks: readonly string[]): string {
  const used = new Set(usedInks.map((name) => name.toLowerCase()));
  for (let count = 1; ; count++) {
    const name = count === 1 ? INK : `${INK} ${count}`;
    if (!used.has(name.toLowerCase())) return name;
  }
}

/** Throws where the film does not fit a page; the file it belongs to could not have been written either. */
export async function contourPdf(contours: Contours, ink: string, facts: DocumentFacts): Promise<Uint8Array> {
  const planned = pagePlan({ filmWidthMm: contours.widthMm, filmHeightMm: contours.heightMm }, contours.size);
  if (!planned.ok) throw new Error(planned.problem.message);
  const plan = planned.value;
  const doc = await PDFDocument.create({ updateMetadata: false });
  const { context } = doc;
  writeFacts(doc, facts);
  const kinds = CONTOUR_KINDS.filter((kind) => contours.paths.some((path) => path.kind === kind));
  const layers = kinds.map((kind) =>
    context.register(
      context.obj({
        Type: 'OCG',
        Name: PDFString.of(CONTOUR_LAYERS[kind]),
        ...CUTTING_STEP,
      }),
    ),
  );
  const states = { Name: PDFString.of('Cut contours'), BaseState: 'ON', Order: layers, ON: layers };
  doc.catalog.set(PDFName.of('OCProperties'), context.obj({ OCGs: layers, D: states }));
  const page = PDFPage.create(doc);
  page.setSize(plan.widthUnits, plan.heightUnits);
  if (plan.userUnit !== 1) page.node.set(PDFName.of('UserUnit'), context.obj(plan.userUnit));
  const [unitsPerMm] = plan.toPage;
  const content = [
    CONTOUR_SETTINGS,
    `${numberText(CONTOUR_LINE_MM * unitsPerMm)} w`,
    ...kinds.flatMap((kind, index) => [
      `/OC /${layerName(index)} BDC`,
      ...contours.paths
        .filter((path) => path.kind === kind)
        .map((path) => pathOperators(path, contours.heightMm, unitsPerMm)),
      'EMC',
    ]),
  ];
  page.node.set(PDFName.of('Contents'), context.register(context.flateStream(content.join('\n'))));
  page.node.set(
    PDFName.of('Resources'),
    context.obj({
      ...contourInkResources(doc.context, ink),
      Properties: Object.fromEntries(layers.map((layer, index) => [layerName(index), layer])),
    }),
  );
  doc.addPage(page);
  return await doc.save({ useObjectStreams: true, addDefaultPage: false });
}

const layerName = (index: number): string => `Step${index + 1}`;

/** Resources for the settings: the ink, and overprint that keeps the inks below it. */
export function contourInkResources(context: PDFContext, ink: string) {
  const tint = { FunctionType: 2, Domain: [0, 1], C0: [0, 0, 0, 0], C1: [...COLOR], N: 1 };
  return {
    ColorSpace: { Ink: context.register(context.obj(['Separation', ink, 'DeviceCMYK', tint])) },
    ExtGState: { Over: { OP: true, op: true, OPM: 1 } },
  };
}

export function pathOperators({ points, isClosed }: ContourPath, heightMm: Mm, unitsPerMm: number): string {
  const places = points.map(({ x, y }, index) => {
    const place = [x * unitsPerMm, (heightMm - y) * unitsPerMm].map(numberText).join(' ');
    return `${place} ${index === 0 ? 'm' : 'l'}`;
  });
  return [...places, isClosed ? 's' : 'S'].join('\n');
}
