import { PDFContext, PDFDict, PDFName, type PDFObject, PDFRef, PDFStream } from 'pdf-lib';
import { dictOf, nameOf, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import type { Matrix, SourceBox } from '../page/page-space.ts';
import { IDENTITY } from './bounds.ts';
import { type ColorSpace, colorSpaceFrom, colorSpaceNamed } from './color-space.ts';
import type { Font } from './font.ts';
import { fontFrom } from './font-from.ts';
import { imageInfoFrom } from './image-info.ts';
import { boxOf, matrixOf } from './object-numbers.ts';
import type { ImageInfo, ResourceCategory } from './painted.ts';
import type { PatternInfo } from './pattern-info.ts';
import { type StateParameters, stateParametersFrom } from './state-parameters.ts';

/** A value, or its promise on first use. The walk awaits only promises. */
export type Soon<T> = T | Promise<T>;

/** Uses a value at once if it is known. */
export const whenKnown = <T>(
  value: Soon<T>,
  use: (value: T) => void | Promise<void>,
): void | Promise<void> => (value instanceof Promise ? value.then(use) : use(value));

/** Things looked up by name, each loaded once. */
class Loaded<T> {
  readonly #known = new Map<string, T>();
  readonly #load: (name: string) => Promise<T>;

  constructor(load: (name: string) => Promise<T>) {
    this.#load = load;
  }

  get(name: string): Soon<T> {
    const known = this.#known.get(name);
    if (known !== undefined || this.#known.has(name)) return known as T;
    return this.#load(name).then((value) => {
      this.#known.set(name, value);
      return value;
    });
  }
}

export interface FormInfo {
  readonly stream: PDFStream;
  readonly ref: PDFRef | undefined;
  readonly matrix: Matrix;
  readonly box: SourceBox | undefined;
  /** Undefined where the form has none and uses its parent's. */
  readonly resources: PDFDict | undefined;
  readonly isGroup: boolean;
}

export type XObjectInfo =
  | { readonly kind: 'image'; readonly image: ImageInfo; readonly layer: PDFObject | undefined }
  | { readonly kind: 'form'; readonly form: FormInfo; readonly layer: PDFObject | undefined }
  | undefined;

/** The names of one resource dictionary, each loaded on first use. */
export class ContentResources {
  readonly dict: PDFDict;
  readonly fonts: Loaded<Font | undefined>;
  readonly spaces: Loaded<ColorSpace | undefined>;
  readonly patterns: Loaded<PatternInfo | undefined>;
  readonly shadings: Loaded<ShadingInfo | undefined>;
  readonly graphicsStates: Loaded<StateParameters | undefined>;
  readonly xobjects: Loaded<XObjectInfo>;
  readonly properties: Loaded<PDFObject | undefined>;
  readonly #objects: PdfObjects;

  constructor(dict: PDFDict | undefined, objects: PdfObjects, fontOf: (dict: PDFDict) => Promise<Font>) {
    this.dict = dict ?? PDFDict.withContext(PDFContext.create());
    this.#objects = objects;
    this.fonts = new Loaded(async (name) => {
      const font = dictOf(await this.#resolved('Font', name));
      return font === undefined ? undefined : fontOf(font);
    });
    this.spaces = new Loaded(async (name) => {
      const named = colorSpaceNamed(name);
      if (named !== undefined) return named;
      const object = await this.entry('ColorSpace', name);
      return object === undefined ? undefined : colorSpaceFrom(object, objects);
    });
    this.patterns = new Loaded(async (name) => patternFrom(await this.entry('Pattern', name), objects));
    this.shadings = new Loaded(async (name) => shadingFrom(await this.entry('Shading', name), objects));
    this.graphicsStates = new Loaded(async (name) => {
      const state = dictOf(await this.#resolved('ExtGState', name));
      return state === undefined ? undefined : stateParametersFrom(state, objects, fontOf);
    });
    this.properties = new Loaded((name) => this.#resolved('Properties', name));
    this.xobjects = new Loaded((name) => this.#xobject(name));
  }

  /** The entry itself, usually a reference. */
  async entry(category: ResourceCategory, name: string): Promise<PDFObject | undefined> {
    const entries = dictOf(await this.#objects.resolved(this.dict.get(PDFName.of(category))));
    return entries?.get(nameEncoded(name));
  }

  async #resolved(category: ResourceCategory, name: string): Promise<PDFObject | undefined> {
    return this.#objects.resolved(await this.entry(category, name));
  }

  async #xobject(name: string): Promise<XObjectInfo> {
    const entry = await this.entry('XObject', name);
    const ref = entry instanceof PDFRef ? entry : undefined;
    const stream = await this.#objects.resolved(entry);
    if (!(stream instanceof PDFStream)) return undefined;
    const layer = stream.dict.get(PDFName.of('OC'));
    switch (nameOf(await this.#objects.resolved(stream.dict.get(PDFName.of('Subtype'))))) {
      case 'Image': {
        const named = async (space: string) => this.spaces.get(space);
        return {
          kind: 'image',
          image: await imageInfoFrom(stream.dict, stream, ref, this.#objects, named),
          layer,
        };
      }
      case 'Form':
        return { kind: 'form', form: await formInfoFrom(stream, ref, this.#objects), layer };
      default:
        return undefined;
    }
  }
}

/** Encodes a name that may contain `#`, which PDFName.of would take for an escape. */
export const nameEncoded = (name: string): PDFName => PDFName.of(name.replaceAll('#', '#23'));

export async function formInfoFrom(
  stream: PDFStream,
  ref: PDFRef | undefined,
  objects: PdfObjects,
): Promise<FormInfo> {
  const { dict } = stream;
  const box = await boxOf(dict.get(PDFName.of('BBox')), objects);
  // Some readers ignore a box without area, so it must not hide anything here.
  const hasArea = box !== undefined && box.x1 > box.x0 && box.y1 > box.y0;
  return {
    stream,
    ref,
    matrix: (await matrixOf(dict.get(PDFName.of('Matrix')), objects)) ?? IDENTITY,
    box: hasArea ? box : undefined,
    resources: dictOf(await objects.resolved(dict.get(PDFName.Resources))),
    isGroup: dict.has(PDFName.of('Group')),
  };
}

export interface ShadingInfo {
  /** A dictionary or a stream. */
  readonly object: PDFObject;
  readonly space: ColorSpace;
  readonly box: SourceBox | undefined;
}

async function shadingFrom(
  object: PDFObject | undefined,
  objects: PdfObjects,
): Promise<ShadingInfo | undefined> {
  const value = await objects.resolved(object);
  const dict = dictOf(value);
  if (value === undefined || dict === undefined) return undefined;
  return {
    object: value,
    space: await colorSpaceFrom(dict.get(PDFName.of('ColorSpace')), objects),
    box: await boxOf(dict.get(PDFName.of('BBox')), objects),
  };
}

async function patternFrom(
  object: PDFObject | undefined,
  objects: PdfObjects,
): Promise<PatternInfo | undefined> {
  const value = await objects.resolved(object);
  const dict = dictOf(value);
  if (value === undefined || dict === undefined) return undefined;
  const number = async (key: string) => numberOf(await objects.resolved(dict.get(PDFName.of(key))));
  const isShading = (await number('PatternType')) === 2;
  return {
    kind: isShading ? 'shading' : 'tiling',
    object: value,
    ref: object instanceof PDFRef ? object : undefined,
    matrix: (await matrixOf(dict.get(PDFName.of('Matrix')), objects)) ?? IDENTITY,
    space: isShading ? (await shadingFrom(dict.get(PDFName.of('Shading')), objects))?.space : undefined,
    isUncolored: !isShading && (await number('PaintType')) === 2,
  };
}

/** Loads fonts by their dictionary, so that a font named in a hundred forms is read once. */
export function fontLoader(objects: PdfObjects): (dict: PDFDict) => Promise<Font> {
  const known = new Map<PDFDict, Promise<Font>>();
  return (dict) => {
    let font = known.get(dict);
    if (font === undefined) {
      font = fontFrom(dict, objects);
      known.set(dict, font);
    }
    return font;
  };
}
