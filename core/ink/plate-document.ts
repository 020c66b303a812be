/**
 * Writes a page of the artwork as a PDF that shows inks instead of colors, for any renderer to draw: three inks as red,
 * green and blue, or black as gray. Painting, blending, clipping and hiding stay unchanged; blending inks then means
 * blending their complements, as in ISO 32000-1, 11.3.5.2, for subtractive spaces.
 *
 * Not exact in three ways. A group that blends light blends the inks of its colors here, instead of blending the colors
 * and converting them to inks. An overprinted object keeps, for each ink, the larger of the existing and the new
 * amount. Colors inside soft masks stay unchanged and depend on the renderer.
 */
import { PDFContext, PDFDict, PDFName, type PDFObject, type PDFRef, PDFStream } from 'pdf-lib';
import { itemAt } from '../measure/present.ts';
import { imageColorSpace } from '../pdf/content/color-space.ts';
import type { ImageNeed, PageImageNeeds } from '../pdf/content/image-needs.ts';
import { jpeg2000Colors } from '../pdf/content/jpeg2000-colors.ts';
import { pageContent } from '../pdf/content/page-content.ts';
import type { Artwork } from '../pdf/document/artwork.ts';
import { documentVersion } from '../pdf/document/page-facts.ts';
import type { FlateCodec } from '../pdf/file/byte-stream.ts';
import { bytesJoined } from '../pdf/file/byte-stream.ts';
import { dictOf, nameOf, numberOf } from '../pdf/file/dict-values.ts';
import { pageAttribute } from '../pdf/file/pages.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { StoredStream } from '../pdf/file/stored-stream.ts';
import { asciiBytes } from '../pdf/page/ascii-bytes.ts';
import { copyLayers } from '../pdf/write/layers.ts';
import { ObjectCopier } from '../pdf/write/object-copier.ts';
import { PanelStream } from '../pdf/write/panel-stream.ts';
import { type FileOutput, PdfWriter } from '../pdf/write/pdf-writer.ts';
import { type Blending, blendingOf, stateBlend } from './plate-blending.ts';
import { CONTENT_START, contentInPlates, type DeviceKind, STAND_IN_NAMES } from './plate-content.ts';
import { InkImages, imageOfInks, isStencil } from './plate-image.ts';
import { type PlatePass, PlateSpaces } from './plate-spaces.ts';
import type { PickedImage } from './row-averages.ts';

/** Entries of a picture that are replaced. */
const IMAGE_KEYS = new Set(['ColorSpace', 'Length', 'Metadata']);
const SAMPLE_KEYS = new Set([
  ...IMAGE_KEYS,
  ...['CS', 'Width', 'W', 'Height', 'H', 'BitsPerComponent', 'BPC', 'Decode', 'D'],
  ...['Filter', 'F', 'DecodeParms', 'DP'],
]);
/** US Letter, the default of readers for a page without a box. */
const DEFAULT_BOX = [0, 0, 612, 792] as const;
const PAGE_KEYS = ['MediaBox', 'CropBox', 'Rotate'] as const;
/** Entries of a stream that do not apply to its new content. */
const CONTENT_KEYS = new Set([
  'Filter',
  'DecodeParms',
  'Length',
  'Metadata',
  'StructParent',
  'StructParents',
  'PieceInfo',
]);

export interface PlateTools {
  readonly flate: FlateCodec;
  /** Shared by the pages and passes of an artwork; absent where there is only one. */
  readonly images?: InkImages;
  /**
   * The resolution that the drawing needs of each picture; pictures are reduced to it. Absent: pictures keep full
   * resolution.
   */
  imageNeeds?(): Promise<PageImageNeeds>;
  /** Awaited now and then; it may throw to stop. */
  pause?(): Promise<void>;
}

/**
 * Writes one page, counted from 1, with its boxes and rotation in the artwork.
 *
 * @throws PdfProblem where the content cannot be unpacked.
 */
export async function writePlates(
  artwork: Artwork,
  pageNumber: number,
  pass: PlatePass,
  output: FileOutput,
  tools: PlateTools,
): Promise<void> {
  const document = new PlateDocument(artwork, pass, tools);
  await document.add(pageNumber);
  await document.write(output, tools);
}

/** Context that content is drawn in. */
interface Within {
  readonly resources: PDFDict;
  readonly blending: Blending;
}

interface DrawnContent {
  readonly resources: PDFDict;
  readonly content: Uint8Array;
}

type MadeOf<From, To> = Readonly<Record<Blending, Map<From, To>>>;

class PlateDocument {
  readonly #artwork: Artwork;
  readonly #file: PdfFile;
  readonly #context = PDFContext.create();
  readonly #plain: ObjectCopier;
  readonly #spaces: PlateSpaces;
  readonly #images: InkImages;
  readonly #tools: PlateTools;
  /** Stand-ins by the blending of the group around them. */
  readonly #made: MadeOf<PDFObject, PDFRef> = { inks: new Map(), light: new Map(), gray: new Map() };
  readonly #resources: MadeOf<PDFDict, PDFDict> = { inks: new Map(), light: new Map(), gray: new Map() };
  #isOtherOnWhite = false;
  readonly #catalogRef = this.#context.nextRef();
  readonly #pagesRef = this.#context.nextRef();
  readonly #pageRef = this.#context.nextRef();

  constructor(artwork: Artwork, pass: PlatePass, tools: PlateTools) {
    this.#images = tools.images ?? new InkImages();
    this.#tools = tools;
    this.#artwork = artwork;
    this.#file = artwork.file;
    this.#plain = new ObjectCopier(artwork.file, this.#context);
    this.#spaces = new PlateSpaces(pass, artwork.file, this.#context, this.#plain);
  }

  async add(pageNumber: number): Promise<void> {
    const { page } = itemAt(this.#artwork.pages, pageNumber - 1);
    const context = this.#context;
    const made = context.obj({ Type: 'Page', Parent: this.#pagesRef });
    for (const key of PAGE_KEYS) {
      const value = await pageAttribute(this.#file, page, key);
      if (value) made.set(PDFName.of(key), await this.#plain.copy(value));
    }
    const found = await pageAttribute(this.#file, page, 'Resources');
    const resources = found instanceof PDFDict ? found : PDFDict.withContext(context);
    const { bytes } = await pageContent(this.#file, page);
    const group = page.dict.get(PDFName.of('Group'));
    const within = { resources, blending: await blendingOf(group, 'inks', this.#file) };
    const content = await this.#content(bytes, resources, true);
    const drawn = { resources: await this.#makeResources(within), content };
    const pageGroup = group && (await this.#group(group));
    this.#drawPage(made, this.#isOtherOnWhite ? this.#inGroup(drawn, made, pageGroup) : drawn, pageGroup);
    context.assign(this.#pageRef, made);
    const root = context.obj({ Type: 'Catalog', Pages: this.#pagesRef });
    const layers = await copyLayers(this.#file, this.#plain);
    if (layers) root.set(PDFName.of('OCProperties'), context.register(layers));
    context.assign(this.#catalogRef, root);
    context.assign(this.#pagesRef, context.obj({ Type: 'Pages', Kids: [this.#pageRef], Count: 1 }));
  }

  #drawPage(page: PDFDict, { resources, content }: DrawnContent, group: PDFObject | undefined): void {
    page.set(PDFName.Resources, resources);
    page.set(PDFName.Contents, this.#context.register(madeStream(this.#context.obj({}), content)));
    if (group) page.set(PDFName.of('Group'), group);
  }

  /**
   * A page's group begins empty and is placed on the paper at the end (11.4.7), while a renderer that begins with white
   * paper blends with white. So the content becomes a separate isolated group.
   */
  #inGroup(
    { resources, content }: DrawnContent,
    page: PDFDict,
    pageGroup: PDFObject | undefined,
  ): DrawnContent {
    const context = this.#context;
    const group = context.obj({ S: 'Transparency', CS: 'DeviceRGB', I: true });
    const knockout = pageGroup instanceof PDFDict ? pageGroup.get(PDFName.of('K')) : undefined;
    if (knockout) group.set(PDFName.of('K'), knockout);
    const form = context.obj({ Type: 'XObject', Subtype: 'Form', Group: group, Resources: resources });
    form.set(PDFName.of('BBox'), page.get(PDFName.of('MediaBox')) ?? context.obj([...DEFAULT_BOX]));
    const ref = context.register(madeStream(form, content));
    return { resources: context.obj({ XObject: { Page: ref } }), content: asciiBytes('/Page Do\n') };
  }

  async write(output: FileOutput, { flate, pause }: PlateTools): Promise<void> {
    const writer = new PdfWriter(output, this.#context, flate);
    await writer.begin(Math.max(1.6, await documentVersion(this.#file)));
    for (const [ref, object] of this.#context.enumerateIndirectObjects()) {
      if (object instanceof PanelStream && object.data.kind === 'made') {
        // Read once and discarded, so compressing it would take longer than writing it.
        const bytes = object.data.bytes();
        const sink = writer.stream(ref, object.dict, bytes.length);
        await sink.write(bytes);
        await sink.end();
      } else if (object instanceof PanelStream && object.data.kind === 'carried') {
        const { from } = object.data;
        const sink = writer.stream(ref, object.dict, from instanceof StoredStream ? from.length : undefined);
        for await (const chunk of this.#file.streamChunks(from)) {
          await sink.write(chunk);
          await pause?.();
        }
        await sink.end();
      } else {
        await writer.writeObject(ref, object);
      }
      await pause?.();
    }
    await writer.finish({ Root: this.#catalogRef });
  }

  async #content(bytes: Uint8Array, resources: PDFDict, isStart: boolean): Promise<Uint8Array> {
    const zeros = new Map<string, number>();
    const spaces = dictOf(await this.#file.entry(resources, 'ColorSpace'));
    for (const [name, space] of spaces?.entries() ?? []) {
      zeros.set(name.decodeText(), await this.#spaces.zerosAtFirst(space));
    }
    const content = contentInPlates(bytes, (name) => zeros.get(name) ?? 0);
    return isStart ? bytesJoined([CONTENT_START, content]) : content;
  }

  async #makeResources(within: Within): Promise<PDFDict> {
    const { resources, blending } = within;
    const known = this.#resources[blending].get(resources);
    if (known) return known;
    const made = PDFDict.withContext(this.#context);
    this.#resources[blending].set(resources, made);
    const categories = this.#categories(within);
    for (const [key, value] of resources.entries()) {
      const category = dictOf(await this.#file.resolved(value));
      const standIn = categories[key.decodeText()];
      if (key.decodeText() === 'ColorSpace') continue;
      made.set(
        key,
        category && standIn ? await this.#entries(category, standIn) : await this.#plain.copy(value),
      );
    }
    made.set(PDFName.of('ColorSpace'), await this.#makeSpaces(resources));
    return made;
  }

  /** Stand-in functions for entries of each category (Table 33). */
  #categories(within: Within): Readonly<Record<string, (value: PDFObject) => Promise<PDFObject>>> {
    return {
      XObject: (value) => this.#xobject(value, within),
      Pattern: (value) => this.#pattern(value, within),
      Shading: (value) => this.#shading(value),
      ExtGState: (value) => this.#state(value, within.blending),
      Font: (value) => this.#font(value, within),
    };
  }

  async #entries(category: PDFDict, standIn: (value: PDFObject) => Promise<PDFObject>): Promise<PDFDict> {
    const made = PDFDict.withContext(this.#context);
    for (const [name, value] of category.entries()) made.set(name, await standIn(value));
    return made;
  }

  /** Default spaces (8.6.5.6) are left out: they apply to device colors, which have stand-ins. */
  async #makeSpaces(resources: PDFDict): Promise<PDFDict> {
    const made = PDFDict.withContext(this.#context);
    const spaces = dictOf(await this.#file.entry(resources, 'ColorSpace'));
    for (const [name, value] of spaces?.entries() ?? []) {
      if (!name.decodeText().startsWith('Default')) made.set(name, await this.#spaces.of(value));
    }
    for (const kind of Object.keys(STAND_IN_NAMES) as DeviceKind[]) {
      made.set(PDFName.of(STAND_IN_NAMES[kind]), this.#spaces.ofKind(kind));
    }
    return made;
  }

  async #xobject(value: PDFObject, within: Within): Promise<PDFObject> {
    const stream = await this.#file.resolved(value);
    if (!(stream instanceof PDFStream)) return this.#plain.copy(value);
    const subtype = nameOf(await this.#file.entry(stream.dict, 'Subtype'));
    if (subtype === 'Image') return this.#image(stream, value);
    return subtype === 'Form' ? this.#drawing(stream, within, false) : this.#plain.copy(value);
  }

  async #image(stream: PDFStream, value: PDFObject): Promise<PDFObject> {
    if (await isStencil(this.#file, stream.dict)) return this.#plain.copy(value);
    return this.#once(stream, () => this.#makeImage(stream));
  }

  async #makeImage(stream: PDFStream): Promise<PDFObject> {
    const { dict } = stream;
    const space = imageColorSpace(dict);
    const shown = space ? await this.#spaces.shownOf(space) : undefined;
    const image = shown && (await imageOfInks(this.#file, dict, shown.components));
    if (shown && image) {
      const picked =
        shown.parts.length === 0
          ? this.#spaces.paper
          : await this.#images.picked(
              this.#file,
              stream,
              image,
              { parts: shown.parts, need: await this.#need(stream) },
              this.#tools,
            );
      if (picked) return this.#imageOfSamples(dict, picked);
    }
    const made = await this.#plain.copyDict(dict, (key) => !IMAGE_KEYS.has(key.decodeText()));
    const own = space ? undefined : await jpeg2000Colors(stream, this.#file);
    const standIn = space ? await this.#spaces.of(space) : own && this.#spaces.ofColors(own);
    if (standIn) made.set(PDFName.of('ColorSpace'), standIn);
    return new PanelStream(made, { kind: 'carried', from: stream });
  }

  /** Resolution that the drawing needs of an image; undefined where it is not known. */
  async #need(stream: PDFStream): Promise<ImageNeed | undefined> {
    return (await this.#tools.imageNeeds?.())?.needs.get(stream);
  }

  async #imageOfSamples(dict: PDFDict, { widthPx, heightPx, samples }: PickedImage): Promise<PDFObject> {
    const made = await this.#plain.copyDict(dict, (key) => !SAMPLE_KEYS.has(key.decodeText()));
    const entries = { Width: widthPx, Height: heightPx, BitsPerComponent: 8 };
    for (const [key, value] of Object.entries(entries)) made.set(PDFName.of(key), this.#context.obj(value));
    made.set(PDFName.of('ColorSpace'), this.#spaces.target);
    return madeStream(made, samples);
  }

  /** A form, a pattern cell or a glyph. `isStart`: its colors start over. */
  #drawing(stream: PDFStream, within: Within, isStart: boolean): Promise<PDFRef> {
    const make = async (): Promise<PDFObject> => {
      const made = await this.#plain.copyDict(
        stream.dict,
        (key) => !CONTENT_KEYS.has(key.decodeText()) && !['Resources', 'Group'].includes(key.decodeText()),
      );
      const group = stream.dict.get(PDFName.of('Group'));
      if (group) made.set(PDFName.of('Group'), await this.#group(group));
      const own = await this.#file.entry(stream.dict, 'Resources');
      const resources = own instanceof PDFDict ? own : within.resources;
      const blending = await blendingOf(group, within.blending, this.#file);
      made.set(PDFName.Resources, await this.#makeResources({ resources, blending }));
      const { bytes } = await this.#file.streamDecoded(stream);
      return madeStream(made, await this.#content(bytes, resources, isStart));
    };
    return this.#once(stream, make, within.blending);
  }

  /** Inks are blended in the space of their light. */
  async #group(value: PDFObject): Promise<PDFObject> {
    const group = dictOf(await this.#file.resolved(value));
    if (group === undefined) return this.#plain.copy(value);
    const made = await this.#plain.copyDict(group, (key) => key.decodeText() !== 'CS');
    if (group.has(PDFName.of('CS'))) made.set(PDFName.of('CS'), PDFName.of('DeviceRGB'));
    return made;
  }

  async #pattern(value: PDFObject, within: Within): Promise<PDFObject> {
    const pattern = await this.#file.resolved(value);
    const dict = dictOf(pattern);
    if (dict === undefined) return this.#plain.copy(value);
    if (pattern instanceof PDFStream) {
      const isColored = numberOf(await this.#file.entry(dict, 'PaintType')) !== 2;
      return this.#drawing(pattern, within, isColored);
    }
    const shading = dict.get(PDFName.of('Shading'));
    const made = await this.#plain.copyDict(dict, (key) => key.decodeText() !== 'Shading');
    if (shading) made.set(PDFName.of('Shading'), await this.#shading(shading));
    return made;
  }

  /** Functions and vertices still give colors of the original space, which the stand-in accepts as input. */
  async #shading(value: PDFObject): Promise<PDFObject> {
    const shading = await this.#file.resolved(value);
    const dict = dictOf(shading);
    const space = dict?.get(PDFName.of('ColorSpace'));
    if (dict === undefined || space === undefined) return this.#plain.copy(value);
    return this.#once(dict, async () => {
      const made = await this.#plain.copyDict(
        dict,
        (key) => !['ColorSpace', 'Length'].includes(key.decodeText()),
      );
      made.set(PDFName.of('ColorSpace'), await this.#spaces.of(space));
      return shading instanceof PDFStream ? new PanelStream(made, { kind: 'carried', from: shading }) : made;
    });
  }

  async #state(value: PDFObject, blending: Blending): Promise<PDFObject> {
    const state = dictOf(await this.#file.resolved(value));
    if (state === undefined) return this.#plain.copy(value);
    const made = await this.#plain.copyDict(state);
    const { mode, isOtherOnWhite } = await stateBlend(state, blending, this.#spaces.pass, this.#file);
    if (mode !== undefined) made.set(PDFName.of('BM'), PDFName.of(mode));
    this.#isOtherOnWhite ||= isOtherOnWhite;
    return made;
  }

  async #font(value: PDFObject, within: Within): Promise<PDFObject> {
    const font = dictOf(await this.#file.resolved(value));
    if (font === undefined || nameOf(await this.#file.entry(font, 'Subtype')) !== 'Type3') {
      return this.#plain.copy(value);
    }
    const own = await this.#file.entry(font, 'Resources');
    const inFont = { ...within, resources: own instanceof PDFDict ? own : within.resources };
    const glyphs = dictOf(await this.#file.entry(font, 'CharProcs'));
    const make = async (): Promise<PDFObject> => {
      const made = await this.#plain.copyDict(
        font,
        (key) => !['Resources', 'CharProcs'].includes(key.decodeText()),
      );
      made.set(PDFName.Resources, await this.#makeResources(inFont));
      const drawn = PDFDict.withContext(this.#context);
      for (const [name, glyph] of glyphs?.entries() ?? []) {
        const stream = await this.#file.resolved(glyph);
        if (stream instanceof PDFStream) drawn.set(name, await this.#drawing(stream, inFont, false));
      }
      made.set(PDFName.of('CharProcs'), drawn);
      return made;
    };
    return this.#once(font, make, within.blending);
  }

  /** Made only once however often it is named, even by itself. */
  async #once(
    original: PDFObject,
    make: () => Promise<PDFObject>,
    blending: Blending = 'inks',
  ): Promise<PDFRef> {
    const known = this.#made[blending].get(original);
    if (known) return known;
    const ref = this.#context.nextRef();
    this.#made[blending].set(original, ref);
    this.#context.assign(ref, await make());
    return ref;
  }
}

const madeStream = (dict: PDFDict, bytes: Uint8Array): PanelStream =>
  new PanelStream(dict, { kind: 'made', bytes: () => bytes });
