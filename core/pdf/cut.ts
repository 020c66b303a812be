/**
 * The cut: one window of an artwork page as a PDF of its own, the size of its film.
 *
 *     const opened = await artworkFromBytes(bytes, { password });
 *     if (!opened.ok) return opened.problem;
 *     const page = artworkPage(opened.value, 1, 'crop');          // size and boxes in drawn mm
 *     const panel = await panelPdf(opened.value, {
 *       page: 1, box: 'crop',
 *       window: { x: 100, y: 0, width: 150, height: 280 },        // drawn mm: what is printed
 *       scale: 10,                                                // finished ÷ drawn
 *       printed: { x: 30, y: 30, width: 1500, height: 2800 },     // film mm: where it is printed
 *       net: { x: 55, y: 80, width: 1450, height: 2720 },         // film mm: what stays visible
 *       filmWidthMm: 1560, filmHeightMm: 2860,
 *       size: { kind: 'true-size' },
 *       info: { title: 'LH-03', created: '2026-11-25', program: 'Panelwright 0.1.0' },
 *     }, { sha256 });
 *     // panel.value.bytes is the file, panel.value.enlargeBy the factor production must enlarge by
 *
 * Any number of panels can be cut from one opened artwork, one after the other or at the same time.
 */
import {
  PDFContext,
  PDFDict,
  PDFHeader,
  PDFName,
  type PDFObject,
  PDFRawStream,
  type PDFRef,
  PDFStreamWriter,
  PDFWriter,
} from 'pdf-lib';
import type { OutputSize, PageBox } from '../job/schema.ts';
import type { Rect } from '../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import { type Artwork, pageWithSpace, visibleBox } from './artwork.ts';
import { type ArtworkProblem, artworkProblem } from './artwork-problem.ts';
import { asciiBytes } from './byte-search.ts';
import { layerAdded, layersCopied } from './layers.ts';
import { ObjectCopier, type Replacement } from './object-copier.ts';
import { type PageContent, pageContent } from './page-content.ts';
import { boxIntersection, type Matrix, type SourceBox } from './page-space.ts';
import type { SourcePage } from './page-tree.ts';
import { artMatrix, type PagePlan, pageBoxFromFilm, pagePlan } from './panel-geometry.ts';
import { fileIdentifier, infoWritten, type PanelInfo, type Sha256 } from './panel-info.ts';
import { numberRounded } from './pdf-number.ts';
import { resourcesUsed, resourcesUsedReplacement } from './resource-use.ts';

export interface PanelCut {
  /** Page of the artwork, counted from 1. */
  readonly page: number;
  /** The page box whose top left corner is the origin of `window`. */
  readonly box: PageBox;
  /** The printed area on the drawing. */
  readonly window: Rect<'drawn'>;
  /** Finished size ÷ drawn size. */
  readonly scale: number;
  /** Where the printed area lies on the film; the same area as `window`. Becomes the BleedBox. */
  readonly printed: Rect<'film'>;
  /** What stays visible when installed. Becomes the TrimBox. */
  readonly net: Rect<'film'>;
  readonly filmWidthMm: Mm;
  readonly filmHeightMm: Mm;
  readonly size: OutputSize;
  readonly info: PanelInfo;
  readonly marks?: PanelMarks | undefined;
}

/** Whoever draws labels and marks, seen from the cut. They get a layer of their own, above the art. */
export interface PanelMarks {
  /** Name of the layer, for the operator of the RIP. */
  readonly layer: string;
  /** Everything that decides how the marks look, so that other marks make another file identifier. */
  readonly key: string;
  /**
   * Draws them. Coordinates are film millimetres with y pointing up from the bottom left corner of the film, so
   * text stands upright. Fonts and other objects are registered in `context`.
   */
  draw(context: PDFContext, film: { readonly widthMm: Mm; readonly heightMm: Mm }): MarksContent;
}

export interface MarksContent {
  /** Content stream operators. */
  readonly operators: string | Uint8Array;
  readonly resources: PDFDict;
}

export interface PanelTools {
  readonly sha256: Sha256;
  /** Gives smaller stand-ins for objects of the source, such as an image cropped to the window. */
  readonly replacement?: Replacement | undefined;
}

export interface PanelPdf {
  readonly bytes: Uint8Array;
  /** Production enlarges by this factor: 1 unless a reduction was asked for. */
  readonly enlargeBy: number;
  readonly userUnit: number;
}

/** Above this, pdf-lib takes time by the square of the count to pack objects into streams. */
const MAX_PACKED_OBJECTS = 4000;
const ART = PDFName.of('Art');
const MARKS = PDFName.of('Marks');
const GROUP = PDFName.of('Group');
const OUTPUT_INTENTS = PDFName.of('OutputIntents');

/**
 * Cuts one panel. Vector stays vector and colour stays as written: the page's content becomes a form XObject
 * as it is, and the new page paints that form through one matrix.
 *
 * The form has no Group of its own: then patterns keep their phase, because they follow the space of the
 * content they are in (ISO 32000-1, 8.7.2), and the source's page group, put on the new page, keeps its blending
 * colour space, which a form's would lose (11.6.6).
 *
 * Problems: those of the page, `cut-window-outside`, `cut-page-too-large`, `cut-page-too-small`.
 */
export async function panelPdf(
  artwork: Artwork,
  cut: PanelCut,
  tools: PanelTools,
): Promise<Result<PanelPdf, ArtworkProblem>> {
  const found = pageWithSpace(artwork, cut.page, cut.box);
  if (!found.ok) return found;
  const { page, geometry, space } = found.value;
  const clip = boxIntersection(space.boxFromRect(cut.window), visibleBox(geometry, cut.box));
  if (!clip) {
    return resultProblem(
      artworkProblem(
        'cut-window-outside',
        `The panel lies outside the artwork on page ${cut.page}: nothing would be printed.`,
        "Check the side's place on the page, or move the seams.",
      ),
    );
  }
  const plan = pagePlan(cut, cut.size);
  if (!plan.ok) return plan;
  const content = pageContent(page, cut.page);
  if (!content.ok) return content;
  const matrix = artMatrix(space, cut.window, cut.printed, cut.scale, plan.value);
  const writer = new PanelWriter(artwork, page, plan.value, tools);
  const bytes = await writer.written(cut, content.value, { box: clip, matrix });
  return resultOk({ bytes, enlargeBy: plan.value.enlargeBy, userUnit: plan.value.userUnit });
}

/** Source box to be shown, and where the form matrix puts it. */
interface Placement {
  readonly box: SourceBox;
  readonly matrix: Matrix;
}

class PanelWriter {
  readonly #artwork: Artwork;
  readonly #page: SourcePage;
  readonly #plan: PagePlan;
  readonly #sha256: Sha256;
  readonly #context = PDFContext.create();
  readonly #copier: ObjectCopier;

  constructor(artwork: Artwork, page: SourcePage, plan: PagePlan, tools: PanelTools) {
    this.#artwork = artwork;
    this.#page = page;
    this.#plan = plan;
    this.#sha256 = tools.sha256;
    this.#copier = new ObjectCopier(
      artwork.document.context,
      this.#context,
      (ref, object) => tools.replacement?.(ref, object) ?? resourcesUsedReplacement(ref, object),
    );
  }

  async written(cut: PanelCut, content: PageContent, placement: Placement): Promise<Uint8Array> {
    const context = this.#context;
    const { catalog } = this.#artwork.document;
    const catalogRef = context.nextRef();
    const pagesRef = context.nextRef();
    const pageRef = context.nextRef();
    const art = this.#artForm(content, placement);
    const page = this.#pageDict(cut, pagesRef, art);
    const layers = layersCopied(catalog, this.#copier);
    const properties = cut.marks ? this.#addMarks(cut, cut.marks, page, layers) : layers;
    const root = context.obj({ Type: 'Catalog', Pages: pagesRef });
    if (properties) root.set(PDFName.of('OCProperties'), context.register(properties));
    const intents = catalog.get(OUTPUT_INTENTS);
    if (intents) root.set(OUTPUT_INTENTS, this.#copier.copy(intents));
    context.assign(catalogRef, root);
    context.assign(pagesRef, context.obj({ Type: 'Pages', Kids: [pageRef], Count: 1 }));
    context.assign(pageRef, page);
    this.#finish(cut, catalogRef);
    return this.#serialized();
  }

  #artForm(content: PageContent, { box, matrix }: Placement): PDFRef {
    const context = this.#context;
    const dict = context.obj({ Type: 'XObject', Subtype: 'Form', FormType: 1 });
    dict.set(PDFName.of('BBox'), context.obj(boxNumbers(box)));
    dict.set(PDFName.of('Matrix'), context.obj(matrix.map(numberRounded)));
    const source = this.#artwork.document.context;
    const resources = source.lookup(this.#page.inherited.get('Resources'));
    const used = resources instanceof PDFDict ? resourcesUsed(resources, content.bytes) : undefined;
    dict.set(PDFName.Resources, used ? this.#copier.copy(used) : context.obj({}));
    if (!content.stream) {
      const packed = context.flateStream(content.bytes);
      return context.register(packedAs(dict, packed.dict, packed.contents));
    }
    const filters = this.#copier.copyDict(content.stream.dict, (key) => FILTER_KEYS.has(key));
    return context.register(packedAs(dict, filters, content.stream.contents));
  }

  #pageDict(cut: PanelCut, parent: PDFRef, art: PDFRef): PDFDict {
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
      const value = this.#page.dict.get(key);
      if (value) page.set(key, this.#copier.copy(value));
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

  #finish(cut: PanelCut, catalog: PDFRef): void {
    const context = this.#context;
    const { userUnit } = this.#plan;
    // Layers came with 1.5, object streams too; UserUnit with 1.6 (ISO 32000-1, Table 30).
    const version = Math.max(this.#artwork.document.version, userUnit === 1 ? 1.5 : 1.6);
    const [major, minor] = version.toFixed(1).split('.');
    context.header = PDFHeader.forVersion(Number(major), Number(minor));
    const { marks, ...rest } = cut;
    const identifier = fileIdentifier(this.#sha256, [
      artworkDigest(this.#artwork, this.#sha256),
      JSON.stringify(rest),
      marks ? `${marks.layer}/${marks.key}` : '',
    ]);
    context.trailerInfo.Root = catalog;
    context.trailerInfo.Info = infoWritten(context, cut.info);
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
