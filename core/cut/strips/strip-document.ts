/**
 * Panels on one strip of a roll as a single PDF. The page of each finished panel becomes a form without a Group, as the
 * artwork's page did in the panel (core/pdf/cut.ts), and the strip's page has their Group, intents and layers.
 */
import {
  PDFArray,
  PDFContext,
  PDFDict,
  PDFHexString,
  PDFName,
  type PDFObject,
  PDFRef,
  PDFStream,
  PDFString,
} from 'pdf-lib';
import { firstOf, itemAt, valueAt } from '../../measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { pageContent } from '../../pdf/content/page-content.ts';
import { documentInfo, documentVersion } from '../../pdf/document/page-facts.ts';
import type { FlateCodec } from '../../pdf/file/byte-stream.ts';
import { pageAttribute } from '../../pdf/file/pages.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { type ArtworkProblem, withPdfProblems } from '../../pdf/page/artwork-problem.ts';
import { asciiBytes } from '../../pdf/page/ascii-bytes.ts';
import { numberRounded } from '../../pdf/page/pdf-number.ts';
import { writeCarriedStream } from '../../pdf/write/carried-stream.ts';
import { addLayer, copyLayers } from '../../pdf/write/layers.ts';
import { ObjectCopier } from '../../pdf/write/object-copier.ts';
import { PanelStream } from '../../pdf/write/panel-stream.ts';
import { type FileOutput, PdfWriter } from '../../pdf/write/pdf-writer.ts';
import { MARKS_LAYER } from '../marks/marks-layer.ts';
import { type PagePlan, pagePlan } from '../panel-geometry.ts';
import { fileIdentifier, type PanelInfo, type Sha256, writeInfo } from '../panel-info.ts';
import { differentGroup, groupsDiffer, type StripGroupsProblem } from './strip-groups.ts';
import { panelMatrix, type StripPage } from './strip-page.ts';
import type { StripPanel } from './strip-panel.ts';

const GROUP = PDFName.of('Group');
const OUTPUT_INTENTS = PDFName.of('OutputIntents');
const OCGS = PDFName.of('OCGs');
/** Width of a cutting line. */
const CUT_MARK_MM: Mm = 0.35;

export interface StripTools {
  readonly sha256: Sha256;
  readonly flate: FlateCodec;
  /** Called and awaited now and then; it may throw to stop. */
  pause?(): Promise<void>;
}

export type StripProblem = ArtworkProblem | StripGroupsProblem;

export interface WrittenStrip {
  readonly enlargeBy: number;
  readonly userUnit: number;
}

/**
 * Writes a strip of panels of one job, which therefore share their artwork's layers and output intents.
 *
 * Problems: `cut-page-too-large` and `cut-page-too-small`; `strip-groups-differ` where pages blend in different ways,
 * which one page cannot do.
 */
export async function writeStrip(
  page: StripPage,
  panels: readonly StripPanel[],
  info: PanelInfo,
  output: FileOutput,
  tools: StripTools,
): Promise<Result<WrittenStrip, StripProblem>> {
  const different = await differentGroup(panels);
  if (different) return resultProblem(groupsDiffer(firstOf(panels), different));
  return withPdfProblems(async () => {
    const plan = pagePlan(page, page.size);
    if (!plan.ok) return plan;
    const document = new StripDocument(page, plan.value);
    for (const panel of panels) {
      await document.add(panel);
      await tools.pause?.();
    }
    await document.write(panels, info, output, tools);
    return resultOk({ enlargeBy: plan.value.enlargeBy, userUnit: plan.value.userUnit });
  });
}

class StripDocument {
  readonly #context = PDFContext.create();
  readonly #page: StripPage;
  readonly #plan: PagePlan;
  /** The file of the panel that each stream is read from. */
  readonly #files = new Map<PDFStream, PdfFile>();
  readonly #catalogRef: PDFRef;
  readonly #pagesRef: PDFRef;
  readonly #pageRef: PDFRef;
  readonly #forms: PDFDict;
  readonly #names: string[] = [];
  readonly #pageEntries = new Map<PDFName, PDFObject>();
  #layers: PDFDict | undefined;
  /** The groups of the first panel's layers, in order; every other panel has the same layers. */
  #groups: readonly PDFRef[] = [];
  #intents: PDFObject | undefined;
  #trapped: unknown;
  #version = 1.5;

  constructor(page: StripPage, plan: PagePlan) {
    this.#page = page;
    this.#plan = plan;
    this.#catalogRef = this.#context.nextRef();
    this.#pagesRef = this.#context.nextRef();
    this.#pageRef = this.#context.nextRef();
    this.#forms = this.#context.obj({});
  }

  async add(panel: StripPanel): Promise<void> {
    const { file, pages } = panel.pdf;
    const source = firstOf(pages);
    if (!source.geometry.ok) throw new Error(`${panel.label} was written with an unusable page`);
    const copier = new ObjectCopier(file, this.#context, (_, object) => {
      if (object instanceof PDFStream) this.#files.set(object, file);
      return undefined;
    });
    if (this.#names.length === 0) await this.#takeDocument(panel, copier);
    else await this.#shareLayers(panel, copier);
    const { x0, y0, x1, y1 } = source.geometry.value.boxes.media;
    const matrix = panelMatrix(panel.placement, { ...panel, widthUnits: x1 - x0 }, this.#plan);
    const form = this.#context.obj({ Type: 'XObject', Subtype: 'Form', FormType: 1 });
    form.set(PDFName.of('BBox'), this.#context.obj([x0, y0, x1, y1].map(numberRounded)));
    form.set(PDFName.of('Matrix'), this.#context.obj(matrix.map(numberRounded)));
    const resources = await pageAttribute(file, source.page, 'Resources');
    if (resources) form.set(PDFName.Resources, await copier.copy(resources));
    const { bytes } = await pageContent(file, source.page);
    const name = `Panel${this.#names.length + 1}`;
    const made = new PanelStream(form, { kind: 'made', bytes: () => bytes });
    this.#forms.set(PDFName.of(name), this.#context.register(made));
    this.#names.push(name);
    this.#version = Math.max(this.#version, await documentVersion(file));
  }

  /** Copies what the strip has only once: layers, output intents, the page's group. */
  async #takeDocument({ pdf: { file, pages } }: StripPanel, copier: ObjectCopier): Promise<void> {
    this.#layers = await copyLayers(file, copier);
    const groups = this.#layers?.lookup(OCGS);
    this.#groups =
      groups instanceof PDFArray ? groups.asArray().filter((item) => item instanceof PDFRef) : [];
    const intents = (await file.catalog()).get(OUTPUT_INTENTS);
    if (intents) this.#intents = await copier.copy(intents);
    for (const key of [GROUP, OUTPUT_INTENTS]) {
      const value = firstOf(pages).page.dict.get(key);
      if (value) this.#pageEntries.set(key, await copier.copy(value));
    }
    this.#trapped = await file.entry(await documentInfo(file), 'Trapped');
  }

  /** Panels of one artwork list the same layers in the same order, so one layer switches all of them. */
  async #shareLayers({ label, pdf: { file } }: StripPanel, copier: ObjectCopier): Promise<void> {
    const properties = await file.entry(await file.catalog(), 'OCProperties');
    const groups = properties instanceof PDFDict ? await file.entry(properties, 'OCGs') : undefined;
    const refs = groups instanceof PDFArray ? groups.asArray() : [];
    if (refs.length !== this.#groups.length)
      throw new Error(`${label} has other layers than the panels beside it`);
    for (const [index, ref] of refs.entries()) {
      if (ref instanceof PDFRef) copier.substitute(ref, itemAt(this.#groups, index));
    }
  }

  async write(
    panels: readonly StripPanel[],
    info: PanelInfo,
    output: FileOutput,
    tools: StripTools,
  ): Promise<void> {
    const context = this.#context;
    const { userUnit } = this.#plan;
    const page = this.#pageDict();
    const root = context.obj({ Type: 'Catalog', Pages: this.#pagesRef });
    if (this.#layers) root.set(PDFName.of('OCProperties'), context.register(this.#layers));
    if (this.#intents) root.set(OUTPUT_INTENTS, this.#intents);
    context.assign(this.#catalogRef, root);
    context.assign(this.#pagesRef, context.obj({ Type: 'Pages', Kids: [this.#pageRef], Count: 1 }));
    context.assign(this.#pageRef, page);
    const identifier = fileIdentifier(tools.sha256, [
      JSON.stringify([this.#page, info]),
      ...panels.map(({ sha256 }) => sha256),
    ]);
    const trailer = {
      Root: this.#catalogRef,
      Info: writeInfo(context, info, this.#trapped),
      ID: context.obj([identifier, identifier]),
    };
    const writer = new PdfWriter(output, context, tools.flate);
    await writer.begin(Math.max(this.#version, userUnit === 1 ? 1.5 : 1.6));
    for (const [ref, object] of context.enumerateIndirectObjects()) {
      if (object instanceof PDFStream) await this.#writeStream(writer, ref, object);
      else await writer.writeObject(ref, object);
      await tools.pause?.();
    }
    await writer.finish(trailer);
  }

  #pageDict(): PDFDict {
    const context = this.#context;
    const { widthUnits, heightUnits, userUnit } = this.#plan;
    const resources = context.obj({ XObject: this.#forms });
    const page = context.obj({
      Type: 'Page',
      Parent: this.#pagesRef,
      MediaBox: [0, 0, numberRounded(widthUnits), numberRounded(heightUnits)],
      Resources: resources,
    });
    if (userUnit !== 1) page.set(PDFName.of('UserUnit'), context.obj(userUnit));
    for (const [key, value] of this.#pageEntries) page.set(key, value);
    const paint = this.#names.map((name) => `q /${name} Do Q\n`).join('');
    const content = paint + this.#cutMarks(resources);
    const made = new PanelStream(context.obj({}), { kind: 'made', bytes: () => asciiBytes(content) });
    page.set(PDFName.Contents, context.register(made));
    return page;
  }

  /** Lines on the black plate only, in the layer of the panels' marks. */
  #cutMarks(resources: PDFDict): string {
    const { cutMarks } = this.#page;
    if (cutMarks.length === 0) return '';
    const context = this.#context;
    const marks = this.#marksGroup();
    resources.set(PDFName.of('Properties'), context.obj({ Layer: marks }));
    const [k] = this.#plan.toPage;
    const point = (x: Mm, y: Mm) =>
      `${numberRounded(x * k)} ${numberRounded(this.#plan.heightUnits - y * k)}`;
    const lines = cutMarks.map(
      ({ x, y, width, height }) => `${point(x, y)} m ${point(x + width, y + height)} l S\n`,
    );
    const width = numberRounded(CUT_MARK_MM * k);
    return `/OC /Layer BDC q 0 0 0 1 K ${width} w\n${lines.join('')}Q EMC\n`;
  }

  #marksGroup(): PDFRef {
    const last = this.#groups.at(-1);
    const group = last && this.#context.lookup(last);
    const name = group instanceof PDFDict ? group.lookup(PDFName.of('Name')) : undefined;
    const isText = name instanceof PDFString || name instanceof PDFHexString;
    if (last && isText && name.decodeText() === MARKS_LAYER) return last;
    const added = addLayer(this.#context, this.#layers, MARKS_LAYER);
    this.#layers = added.properties;
    return added.group;
  }

  async #writeStream(writer: PdfWriter, ref: PDFRef, stream: PDFStream): Promise<void> {
    if (!(stream instanceof PanelStream)) {
      // Metadata is not packed.
      const contents = stream.getContents();
      const sink = writer.stream(ref, stream.dict, contents.length);
      await sink.write(contents);
      return await sink.end();
    }
    const { data } = stream;
    if (data.kind === 'made') return writer.writePackedStream(ref, stream.dict, data.bytes());
    if (data.kind !== 'carried') throw new Error('a strip crops nothing');
    const file = valueAt(this.#files, data.from);
    await writeCarriedStream(writer, ref, stream.dict, { file, from: data.from });
  }
}
