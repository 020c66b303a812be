import { PDFContext, PDFDict, PDFName, type PDFObject, PDFRef, PDFStream } from 'pdf-lib';
import type { AreaContent } from '../pdf/content/content-for-areas.ts';
import type { PageDrawing } from '../pdf/content/page-content.ts';
import type { StreamCut } from '../pdf/content/stream-record.ts';
import type { Artwork, SourcePage } from '../pdf/document/artwork.ts';
import { documentInfo, documentVersion } from '../pdf/document/page-facts.ts';
import { bytesJoined } from '../pdf/file/byte-stream.ts';
import { pageAttribute } from '../pdf/file/pages.ts';
import { MAX_OBJECT_NUMBER } from '../pdf/file/xref-table.ts';
import type { CroppedImage } from '../pdf/images/cropped-image.ts';
import { asciiBytes } from '../pdf/page/ascii-bytes.ts';
import type { SourceBox } from '../pdf/page/page-space.ts';
import { numberRounded } from '../pdf/page/pdf-number.ts';
import { addLayer, copyLayers } from '../pdf/write/layers.ts';
import { ObjectCopier } from '../pdf/write/object-copier.ts';
import { PanelStream } from '../pdf/write/panel-stream.ts';
import { contentNames } from '../pdf/write/resource-use.ts';
import type { DocumentTools, PanelCut } from './cut-request.ts';
import { imageStandIn } from './image-stand-in.ts';
import type { MarksPainter } from './marks/marks-painter.ts';
import { type PagePlan, pageBoxFromFilm } from './panel-geometry.ts';
import { fileIdentifier, writeInfo } from './panel-info.ts';
import type { PreparedCut } from './prepared-cut.ts';

const ART = PDFName.of('Art');
const GROUP = PDFName.of('Group');
const OUTPUT_INTENTS = PDFName.of('OutputIntents');
/** A placeholder for the art's resources among the source's references; no object of a file has this number. */
const ART_RESOURCES = PDFRef.of(MAX_OBJECT_NUMBER + 1);

/** The parts of its page that a panel contains. */
export interface PanelContent {
  /** All that the page paints. */
  readonly page: PageDrawing;
  /** The parts that show in the window; absent: the panel contains everything. */
  readonly window: AreaContent | undefined;
  /** The images that this panel gets a part of. */
  readonly crops: { readonly panel: number; readonly images: Map<PDFObject, CroppedImage> };
}

/**
 * One panel's document: all of its objects, except the data of streams, which are read when they are written. Numbers
 * follow the order of building, so the same panel has the same numbers.
 */
export class PanelDocument {
  readonly context = PDFContext.create();
  readonly #artwork: Artwork;
  readonly #page: SourcePage;
  readonly #plan: PagePlan;
  readonly #content: PanelContent;
  readonly #pause: (() => Promise<void>) | undefined;
  readonly #copier: ObjectCopier;
  #borrowers: ReadonlySet<PDFObject> = new Set();
  #trailer: Readonly<Record<string, PDFObject>> = {};
  #version = 1.5;
  readonly #croppedParts = new Map<CroppedImage, (readonly [PDFRef, PanelStream])[]>();

  private constructor(
    artwork: Artwork,
    prepared: PreparedCut,
    content: PanelContent,
    pause: (() => Promise<void>) | undefined,
  ) {
    this.#artwork = artwork;
    this.#page = prepared.source;
    this.#plan = prepared.plan;
    this.#content = content;
    this.#pause = pause;
    this.#copier = new ObjectCopier(artwork.file, this.context, (_, object) => this.#standIn(object));
  }

  static async make(
    artwork: Artwork,
    prepared: PreparedCut,
    content: PanelContent,
    tools: DocumentTools,
  ): Promise<PanelDocument> {
    const document = new PanelDocument(artwork, prepared, content, tools.pause);
    await document.#build(prepared, tools);
    document.#listCroppedParts();
    return document;
  }

  get version(): number {
    return this.#version;
  }

  /** Root, Info and ID. */
  get trailer(): Readonly<Record<string, PDFObject>> {
    return this.#trailer;
  }

  /** All objects, in the order of their numbers. */
  get objects(): readonly (readonly [PDFRef, PDFObject])[] {
    return this.context.enumerateIndirectObjects();
  }

  get crops(): PanelContent['crops'] {
    return this.#content.crops;
  }

  /** The streams into which the parts of a crop are to be written. */
  croppedParts(image: CroppedImage): readonly (readonly [PDFRef, PanelStream])[] {
    return this.#croppedParts.get(image) ?? [];
  }

  /** Uses the whole image after all, because its data turned out to be damaged. */
  async keepWhole(image: CroppedImage): Promise<void> {
    const [[base, ...masks], original] = [this.croppedParts(image), image.parts[0].stream];
    for (const [ref] of masks) this.context.delete(ref);
    this.#content.crops.images.delete(original);
    if (base) this.context.assign(base[0], await this.#copier.copyItself(original));
  }

  #listCroppedParts(): void {
    for (const [ref, object] of this.objects) {
      if (!(object instanceof PanelStream) || object.data.kind !== 'cropped') continue;
      const { image, part } = object.data;
      const parts = this.#croppedParts.get(image) ?? [];
      this.#croppedParts.set(image, parts);
      parts[part] = [ref, object];
    }
  }

  /**
   * The replacement of a source object that is written in another form: cropped, shortened, or with fewer resources.
   */
  async #standIn(object: PDFObject): Promise<PDFObject | undefined> {
    const { file, resourceUse } = this.#artwork;
    const { window, crops } = this.#content;
    const image = crops.images.get(object);
    if (image) return imageStandIn(image, crops.panel, file.context);
    const cut = object instanceof PDFStream ? window?.forms.get(object) : undefined;
    const edited = cut && this.#isEdited(cut) ? { cut } : undefined;
    if (this.#borrowers.has(object)) return resourceUse.borrowerWith(object, ART_RESOURCES, edited);
    return resourceUse.slimmed(object, edited, this.#pause);
  }

  #isEdited({ isWhole, images }: StreamCut): boolean {
    return !isWhole || images.some(({ image }) => this.#content.crops.images.has(image));
  }

  async #build(prepared: PreparedCut, tools: DocumentTools): Promise<void> {
    const { context } = this;
    const { file } = this.#artwork;
    const { cut } = prepared;
    const catalogRef = context.nextRef();
    const pagesRef = context.nextRef();
    const pageRef = context.nextRef();
    const art = await this.#artForm(prepared);
    const page = await this.#pageDict(cut, pagesRef, art);
    const layers = await copyLayers(file, this.#copier);
    const properties = this.#paintAbove(cut, page, layers);
    const root = context.obj({ Type: 'Catalog', Pages: pagesRef });
    if (properties) root.set(PDFName.of('OCProperties'), context.register(properties));
    const intents = (await file.catalog()).get(OUTPUT_INTENTS);
    if (intents) root.set(OUTPUT_INTENTS, await this.#copier.copy(intents));
    context.assign(catalogRef, root);
    context.assign(pagesRef, context.obj({ Type: 'Pages', Kids: [pageRef], Count: 1 }));
    context.assign(pageRef, page);
    // Layers came with 1.5, object streams too; UserUnit with 1.6 (ISO 32000-1, Table 30).
    this.#version = Math.max(await documentVersion(file), this.#plan.userUnit === 1 ? 1.5 : 1.6);
    const { marks, contours, ...rest } = cut;
    const identifier = fileIdentifier(tools.sha256, [
      tools.artworkSha256,
      JSON.stringify(rest, keysSorted),
      marks ? `${marks.layer}/${marks.key}` : '',
      ...(contours ? [`${contours.layer}/${contours.key}`] : []),
    ]);
    const trapped = await file.entry(await documentInfo(file), 'Trapped');
    this.#trailer = {
      Root: catalogRef,
      Info: writeInfo(context, cut.info, trapped),
      ID: context.obj([identifier, identifier]),
    };
  }

  async #artForm({ clip, matrix }: PreparedCut): Promise<PDFRef> {
    const { context } = this;
    const { page, window } = this.#content;
    const isEdited = window !== undefined && this.#isEdited(window.page);
    const dict = context.obj({ Type: 'XObject', Subtype: 'Form', FormType: 1 });
    dict.set(PDFName.of('BBox'), context.obj(boxNumbers(clip)));
    dict.set(PDFName.of('Matrix'), context.obj(matrix.map(numberRounded)));
    dict.set(PDFName.Resources, await this.#copyArtResources());
    if (isEdited || !page.stream) {
      return context.register(new PanelStream(dict, { kind: 'content', from: 'page', cut: window?.page }));
    }
    const filters = await this.#copier.copyDict(page.stream.dict, (key) => FILTER_KEYS.has(key));
    for (const [key, value] of filters.entries()) dict.set(key, value);
    return context.register(new PanelStream(dict, { kind: 'carried', from: page.stream }));
  }

  async #copyArtResources(): Promise<PDFRef> {
    const { context } = this;
    const { file, resourceUse } = this.#artwork;
    const resources = await pageAttribute(file, this.#page.page, 'Resources');
    const target = context.nextRef();
    if (!(resources instanceof PDFDict)) {
      context.assign(target, context.obj({}));
      return target;
    }
    const names = this.#content.window?.page.names ?? (await this.#pageNames());
    const used = await resourceUse.used(resources, names, this.#pause);
    this.#borrowers = used.borrowers;
    this.#copier.substitute(ART_RESOURCES, target);
    context.assign(target, await this.#copier.copy(used.resources));
    return target;
  }

  async #pageNames(): Promise<Set<PDFName>> {
    const pieces: Uint8Array[] = [];
    for await (const piece of this.#content.page.pieces()) pieces.push(piece);
    return contentNames(bytesJoined(pieces), this.#pause);
  }

  async #pageDict(cut: PanelCut, parent: PDFRef, art: PDFRef): Promise<PDFDict> {
    const { context } = this;
    const { widthUnits, heightUnits, userUnit } = this.#plan;
    const page = context.obj({
      Type: 'Page',
      Parent: parent,
      MediaBox: [0, 0, numberRounded(widthUnits), numberRounded(heightUnits)],
      BleedBox: boxNumbers(pageBoxFromFilm(this.#plan, cut.printed)),
      TrimBox: boxNumbers(pageBoxFromFilm(this.#plan, cut.net)),
      Resources: { XObject: context.obj({}) },
    });
    (page.lookup(PDFName.Resources, PDFDict).lookup(PDFName.XObject) as PDFDict).set(ART, art);
    if (userUnit !== 1) page.set(PDFName.of('UserUnit'), context.obj(userUnit));
    page.set(PDFName.Contents, context.register(context.stream(asciiBytes('q /Art Do Q\n'))));
    for (const key of [GROUP, OUTPUT_INTENTS]) {
      const value = this.#page.page.dict.get(key);
      if (value) page.set(key, await this.#copier.copy(value));
    }
    return page;
  }

  /**
   * Paints above the art, outside its form. Contours overprint, so they are directly on the page, whose group is the
   * art's; marks set no overprint, which could not act across an isolated group.
   */
  #paintAbove(cut: PanelCut, page: PDFDict, layers: PDFDict | undefined): PDFDict | undefined {
    const above = [
      ...(cut.contours ? [{ painter: cut.contours, form: 'Contours', layer: 'Steps' }] : []),
      // Marks come last: strips of several panels look for their layer there.
      ...(cut.marks ? [{ painter: cut.marks, form: 'Marks', layer: 'Layer' }] : []),
    ];
    if (above.length === 0) return layers;
    const { context } = this;
    const resources = page.lookup(PDFName.Resources, PDFDict);
    const forms = resources.lookup(PDFName.XObject, PDFDict);
    const groups = context.obj({});
    let properties = layers;
    for (const { painter, form, layer } of above) {
      const stream = this.#paintedForm(cut, painter);
      const added = addLayer(context, properties, painter.layer, painter.layerEntries);
      ({ properties } = added);
      groups.set(PDFName.of(layer), added.group);
      forms.set(PDFName.of(form), context.register(stream));
    }
    resources.set(PDFName.of('Properties'), groups);
    const content = above.map(({ form, layer }) => `/OC /${layer} BDC q /${form} Do Q EMC\n`).join('');
    page.set(PDFName.Contents, context.register(context.stream(asciiBytes(`q /Art Do Q\n${content}`))));
    return properties;
  }

  #paintedForm({ filmWidthMm, filmHeightMm }: PanelCut, painter: MarksPainter): PanelStream {
    const { context } = this;
    const drawn = painter.draw(context, { widthMm: filmWidthMm, heightMm: filmHeightMm });
    const bytes = typeof drawn.operators === 'string' ? asciiBytes(drawn.operators) : drawn.operators;
    const [unitsPerMm] = this.#plan.toPage;
    const form = context.obj({ Type: 'XObject', Subtype: 'Form', FormType: 1 });
    form.set(PDFName.of('BBox'), context.obj([0, 0, filmWidthMm, filmHeightMm].map(numberRounded)));
    form.set(PDFName.of('Matrix'), context.obj([unitsPerMm, 0, 0, unitsPerMm, 0, 0].map(numberRounded)));
    form.set(PDFName.Resources, drawn.resources);
    return new PanelStream(form, { kind: 'made', bytes: () => bytes });
  }
}

/** Sorted keys, so that two jobs that differ only in their order count as the same. */
const keysSorted = (_key: string, value: unknown): unknown =>
  value && typeof value === 'object' && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
    : value;

const FILTER_KEYS = new Set(['Filter', 'DecodeParms'].map((key) => PDFName.of(key)));

const boxNumbers = ({ x0, y0, x1, y1 }: SourceBox): number[] => [x0, y0, x1, y1].map(numberRounded);
