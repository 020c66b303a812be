import {
  PDFContext,
  PDFDict,
  PDFHeader,
  PDFName,
  type PDFObject,
  PDFRawStream,
  PDFRef,
  PDFStreamWriter,
  PDFWriter,
} from 'pdf-lib';
import type { Artwork, SourcePage } from './artwork.ts';
import { asciiBytes } from './byte-search.ts';
import type { PanelCut, PanelMarks, PanelTools } from './cut.ts';
import { pageAttribute } from './file/pages.ts';
import { MAX_OBJECT_NUMBER } from './file/xref-table.ts';
import { layerAdded, layersCopied } from './layers.ts';
import { ObjectCopier } from './object-copier.ts';
import type { PageContent } from './page-content.ts';
import { documentInfo, documentVersion } from './page-facts.ts';
import type { Matrix, SourceBox } from './page-space.ts';
import { type PagePlan, pageBoxFromFilm } from './panel-geometry.ts';
import { fileIdentifier, infoWritten, type Sha256 } from './panel-info.ts';
import { numberRounded } from './pdf-number.ts';

/** Above this, pdf-lib takes time by the square of the count to pack objects into streams. */
const MAX_PACKED_OBJECTS = 4000;
const ART = PDFName.of('Art');
const MARKS = PDFName.of('Marks');
const GROUP = PDFName.of('Group');
const OUTPUT_INTENTS = PDFName.of('OutputIntents');
/** Stands for the art's resources among the source's references; no object of a file has this number. */
const ART_RESOURCES = PDFRef.of(MAX_OBJECT_NUMBER + 1);

/** Source box to be shown, and where the form matrix puts it. */
export interface Placement {
  readonly box: SourceBox;
  readonly matrix: Matrix;
}

/** Builds one panel's document and writes it out; used once. */
export class PanelWriter {
  readonly #artwork: Artwork;
  readonly #page: SourcePage;
  readonly #plan: PagePlan;
  readonly #sha256: Sha256;
  readonly #context = PDFContext.create();
  readonly #copier: ObjectCopier;
  #borrowers: ReadonlySet<PDFObject> = new Set();

  constructor(artwork: Artwork, page: SourcePage, plan: PagePlan, tools: PanelTools) {
    this.#artwork = artwork;
    this.#page = page;
    this.#plan = plan;
    this.#sha256 = tools.sha256;
    const { file, resourceUse } = artwork;
    this.#copier = new ObjectCopier(file, this.#context, async (ref, object) => {
      if (this.#borrowers.has(object)) return resourceUse.borrowerWith(object, ART_RESOURCES);
      return (await tools.replacement?.(ref, object)) ?? resourceUse.slimmed(object);
    });
  }

  async written(cut: PanelCut, content: PageContent, placement: Placement): Promise<Uint8Array> {
    const context = this.#context;
    const { file } = this.#artwork;
    const catalogRef = context.nextRef();
    const pagesRef = context.nextRef();
    const pageRef = context.nextRef();
    const art = await this.#artForm(content, placement);
    const page = await this.#pageDict(cut, pagesRef, art);
    const layers = await layersCopied(file, this.#copier);
    const properties = cut.marks ? this.#addMarks(cut, cut.marks, page, layers) : layers;
    const root = context.obj({ Type: 'Catalog', Pages: pagesRef });
    if (properties) root.set(PDFName.of('OCProperties'), context.register(properties));
    const intents = (await file.catalog()).get(OUTPUT_INTENTS);
    if (intents) root.set(OUTPUT_INTENTS, await this.#copier.copy(intents));
    context.assign(catalogRef, root);
    context.assign(pagesRef, context.obj({ Type: 'Pages', Kids: [pageRef], Count: 1 }));
    context.assign(pageRef, page);
    await this.#finish(cut, catalogRef);
    return this.#serialized();
  }

  async #artForm(content: PageContent, { box, matrix }: Placement): Promise<PDFRef> {
    const context = this.#context;
    const dict = context.obj({ Type: 'XObject', Subtype: 'Form', FormType: 1 });
    dict.set(PDFName.of('BBox'), context.obj(boxNumbers(box)));
    dict.set(PDFName.of('Matrix'), context.obj(matrix.map(numberRounded)));
    dict.set(PDFName.Resources, await this.#artResourcesCopied(content));
    if (!content.stream) {
      const packed = context.flateStream(content.bytes);
      return context.register(packedAs(dict, packed.dict, packed.contents));
    }
    const filters = await this.#copier.copyDict(content.stream.dict, (key) => FILTER_KEYS.has(key));
    const contents = await this.#artwork.file.streamBytes(content.stream);
    return context.register(packedAs(dict, filters, contents));
  }

  async #artResourcesCopied(content: PageContent): Promise<PDFRef> {
    const context = this.#context;
    const { file, resourceUse } = this.#artwork;
    const resources = await pageAttribute(file, this.#page.page, 'Resources');
    const target = context.nextRef();
    if (!(resources instanceof PDFDict)) {
      context.assign(target, context.obj({}));
      return target;
    }
    const used = await resourceUse.used(resources, content.bytes);
    this.#borrowers = used.borrowers;
    this.#copier.stand(ART_RESOURCES, target);
    context.assign(target, await this.#copier.copy(used.resources));
    return target;
  }

  async #pageDict(cut: PanelCut, parent: PDFRef, art: PDFRef): Promise<PDFDict> {
    const context = this.#context;
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

  /** Marks stand outside the art's form and set no overprint, which could not act across an isolated group. */
  #addMarks(cut: PanelCut, marks: PanelMarks, page: PDFDict, layers: PDFDict | undefined): PDFDict {
    const context = this.#context;
    const drawn = marks.draw(context, { widthMm: cut.filmWidthMm, heightMm: cut.filmHeightMm });
    const bytes = typeof drawn.operators === 'string' ? asciiBytes(drawn.operators) : drawn.operators;
    const [unitsPerMm] = this.#plan.toPage;
    const packed = context.flateStream(bytes);
    const form = context.obj({ Type: 'XObject', Subtype: 'Form', FormType: 1 });
    form.set(PDFName.of('BBox'), context.obj([0, 0, cut.filmWidthMm, cut.filmHeightMm].map(numberRounded)));
    form.set(PDFName.of('Matrix'), context.obj([unitsPerMm, 0, 0, unitsPerMm, 0, 0].map(numberRounded)));
    form.set(PDFName.Resources, drawn.resources);
    const added = layerAdded(context, layers, marks.layer);
    const resources = page.lookup(PDFName.Resources, PDFDict);
    const forms = resources.lookup(PDFName.XObject, PDFDict);
    forms.set(MARKS, context.register(packedAs(form, packed.dict, packed.contents)));
    resources.set(PDFName.of('Properties'), context.obj({ Layer: added.group }));
    const content = 'q /Art Do Q\n/OC /Layer BDC q /Marks Do Q EMC\n';
    page.set(PDFName.Contents, context.register(context.stream(asciiBytes(content))));
    return added.properties;
  }

  async #finish(cut: PanelCut, catalog: PDFRef): Promise<void> {
    const context = this.#context;
    const { file, bytes } = this.#artwork;
    const { userUnit } = this.#plan;
    // Layers came with 1.5, object streams too; UserUnit with 1.6 (ISO 32000-1, Table 30).
    const version = Math.max(await documentVersion(file, bytes), userUnit === 1 ? 1.5 : 1.6);
    const [major, minor] = version.toFixed(1).split('.');
    context.header = PDFHeader.forVersion(Number(major), Number(minor));
    const { marks, ...rest } = cut;
    const identifier = fileIdentifier(this.#sha256, [
      artworkDigest(this.#artwork, this.#sha256),
      JSON.stringify(rest, keysSorted),
      marks ? `${marks.layer}/${marks.key}` : '',
    ]);
    context.trailerInfo.Root = catalog;
    const trapped = await file.entry(await documentInfo(file), 'Trapped');
    context.trailerInfo.Info = infoWritten(context, cut.info, trapped);
    context.trailerInfo.ID = context.obj([identifier, identifier]);
  }

  #serialized(): Promise<Uint8Array> {
    const context = this.#context;
    const isPacked = context.largestObjectNumber <= MAX_PACKED_OBJECTS;
    const writer = isPacked
      ? PDFStreamWriter.forContext(context, Number.POSITIVE_INFINITY)
      : PDFWriter.forContext(context, Number.POSITIVE_INFINITY);
    return writer.serializeToBuffer();
  }
}

/** Two jobs that say the same in another order are the same job. */
const keysSorted = (_key: string, value: unknown): unknown =>
  value && typeof value === 'object' && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
    : value;

const FILTER_KEYS = new Set(['Filter', 'DecodeParms'].map((key) => PDFName.of(key)));

/** A stream with the entries of `dict` and the filters of `filters`. */
function packedAs(dict: PDFDict, filters: PDFDict, contents: Uint8Array): PDFRawStream {
  for (const key of FILTER_KEYS) {
    const value: PDFObject | undefined = filters.get(key);
    if (value) dict.set(key, value);
  }
  return PDFRawStream.of(dict, contents);
}

const boxNumbers = ({ x0, y0, x1, y1 }: SourceBox): number[] => [x0, y0, x1, y1].map(numberRounded);

const digests = new WeakMap<Artwork, string>();

/** The artwork's bytes are digested once, however many panels are cut. */
function artworkDigest(artwork: Artwork, sha256: Sha256): string {
  const known = digests.get(artwork);
  if (known) return known;
  const digest = Array.from(sha256(artwork.bytes), (byte) => byte.toString(16).padStart(2, '0')).join('');
  digests.set(artwork, digest);
  return digest;
}
