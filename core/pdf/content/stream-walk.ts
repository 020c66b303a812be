import type { PDFObject, PDFRef, PDFStream } from 'pdf-lib';
import { isPdfProblem, problemTooDeep } from '../file/pdf-problem.ts';
import type { Matrix, SourceBox } from '../page/page-space.ts';
import { boxClipped, boxTransformed } from './bounds.ts';
import type { ColorSpace } from './color-space.ts';
import type { ContentLevel } from './content-level.ts';
import type { GraphicsState } from './graphics-state.ts';
import { OperationReader } from './operation-reader.ts';
import type { ImageInfo, Painted, PaintedKind, PaintedText, ResourceCategory } from './painted.ts';
import { PathBounds } from './path-bounds.ts';
import { PathRecord } from './path-record.ts';
import type { ContentResources, FormInfo } from './resources.ts';
import type { Walk } from './walk-state.ts';

/** No program nests `q` this deeply; content that does is broken. */
const MAX_SAVED = 100_000;
const MAX_DEPTH = 48;

/** How a nested stream is walked: as what kind, with which state, and which state it may change. */
export interface Nested {
  readonly kind: Exclude<ContentLevel['kind'], 'page'>;
  readonly state: GraphicsState;
  readonly isVisible: boolean;
  /** Where it shows, if it is a pattern cell, soft mask or glyph. */
  readonly area?: SourceBox;
  /** The layer that all of the stream belongs to. */
  readonly layer?: PDFObject | undefined;
}

/** The effect of an operator on the walk; it returns a promise where it must read the file. */
export type OperatorAction = (at: StreamWalk) => void | Promise<void>;
export type OperatorTable = Readonly<Record<string, OperatorAction>>;

export interface Operator {
  readonly name: string;
  readonly run: OperatorAction;
  /** Whether it builds or paints a path. Any other operator between these ties the path to its surroundings. */
  readonly isOfPath: boolean;
}

export type Operators = ReadonlyMap<number, Operator>;

/** What differs between one painted object and the next. */
export interface PaintDetails {
  readonly isFilled?: boolean;
  readonly isStroked?: boolean;
  readonly isSelfContained?: boolean;
  readonly isVisible?: boolean;
  readonly start?: number;
  readonly image?: ImageInfo;
  readonly text?: PaintedText;
  readonly shadingSpace?: ColorSpace;
  readonly shading?: PDFObject;
  readonly object?: PDFStream | undefined;
  readonly ref?: PDFRef | undefined;
}

/** One pass through one content stream, and the state that its operators share. */
export class StreamWalk {
  readonly walk: Walk;
  readonly level: ContentLevel;
  readonly resources: ContentResources;
  /** Pattern space: the space that this stream began with, no matter what `cm` has changed since (8.7.2). */
  readonly initialMatrix: Matrix;
  readonly reader = new OperationReader();
  state: GraphicsState;
  readonly path: PathBounds;
  /** Where the path under construction begins; -1 when there is none. */
  pathStart = -1;
  /** Whether other operators came between those of the path. */
  isPathInterrupted = false;
  /** Whether the path will clip when it is painted (W). */
  isClipPending = false;
  /** Text matrix and text line matrix. */
  textMatrix: Matrix = [1, 0, 0, 1, 0, 0];
  lineMatrix: Matrix = [1, 0, 0, 1, 0, 0];
  readonly #saved: GraphicsState[] = [];
  /** One entry for each marked content that is open: whether it shows, and the layers outside it. */
  readonly #marked: { readonly isVisible: boolean; readonly outside: readonly PDFObject[] }[] = [];
  #layers: readonly PDFObject[];
  readonly #operators: Operators;
  #hidden: number;

  constructor(
    operators: Operators,
    walk: Walk,
    level: ContentLevel,
    resources: ContentResources,
    {
      state,
      isVisible,
      layers = [],
    }: {
      readonly state: GraphicsState;
      readonly isVisible: boolean;
      readonly layers?: readonly PDFObject[] | undefined;
    },
  ) {
    this.path = walk.visitor.wantsOutlines ? new PathRecord() : new PathBounds();
    this.#layers = layers;
    this.#operators = operators;
    this.walk = walk;
    this.level = level;
    this.resources = resources;
    this.state = state;
    this.initialMatrix = state.ctm;
    this.#hidden = isVisible ? 0 : 1;
  }

  get isVisible(): boolean {
    return this.#hidden === 0;
  }

  /** Byte offset of the operation in the whole content. */
  get start(): number {
    return this.reader.base + this.reader.start;
  }

  get end(): number {
    return this.reader.base + this.reader.end;
  }

  async run(pieces: AsyncIterable<Uint8Array>): Promise<void> {
    const { reader, walk } = this;
    const { visitor } = walk;
    const iterator = pieces[Symbol.asyncIterator]();
    let next = await iterator.next();
    if (next.done) return;
    let following = await iterator.next();
    reader.push(next.value, following.done === true);
    for (;;) {
      const status = reader.next();
      if (status === 'end') return;
      if (status === 'more') {
        next = following;
        if (next.done) return;
        following = await iterator.next();
        reader.push(next.value, following.done === true);
        continue;
      }
      const pause = walk.countOperator();
      if (pause !== undefined) await pause;
      const operator = this.#operators.get(reader.operator);
      visitor.onOperator?.(operator?.name ?? '', this.start, this.end, this.level, reader);
      if (operator === undefined) {
        this.isPathInterrupted = true;
        continue;
      }
      if (!operator.isOfPath) this.isPathInterrupted = true;
      const pending = operator.run(this);
      // Awaiting only real promises keeps a walk of 200,000 paths at one second.
      if (pending !== undefined) await pending;
    }
  }

  save(): void {
    if (this.#saved.length < MAX_SAVED) this.#saved.push(this.state.copy());
  }

  restore(): void {
    const state = this.#saved.pop();
    if (state !== undefined) this.state = state;
  }

  beginMarked(isVisible: boolean, layer?: PDFObject): void {
    this.#marked.push({ isVisible, outside: this.#layers });
    if (layer) this.#layers = [...this.#layers, layer];
    if (!isVisible) this.#hidden++;
  }

  endMarked(): void {
    const ended = this.#marked.pop();
    if (!ended) return;
    this.#layers = ended.outside;
    if (!ended.isVisible) this.#hidden--;
  }

  /** Reports that an operator looks a resource up by this name. */
  use(category: ResourceCategory, name: string): void {
    this.walk.visitor.onResourceUsed?.(category, name, this.start, this.end, this.level);
  }

  /** Reports that the resource an operator looks up does not exist. */
  miss(category: ResourceCategory, name: string): void {
    this.walk.visitor.onResourceMissing?.(category, name);
  }

  painted(kind: PaintedKind, bounds: SourceBox, details: PaintDetails): Painted {
    return {
      kind,
      level: this.level,
      start: details.start ?? this.start,
      end: this.end,
      isSelfContained: details.isSelfContained ?? true,
      bounds,
      clip: this.state.clip,
      isVisible: this.isVisible && (details.isVisible ?? true),
      layers: this.#layers,
      isFilled: details.isFilled ?? false,
      isStroked: details.isStroked ?? false,
      state: this.state,
      outline: kind === 'path' && this.path instanceof PathRecord ? this.path.subpaths : undefined,
      image: details.image,
      text: details.text,
      shadingSpace: details.shadingSpace,
      shading: details.shading,
      object: details.object,
      ref: details.ref,
    };
  }

  /** Whether the layer that an XObject belongs to shows. */
  async isLayerVisible(layer: PDFObject | undefined): Promise<boolean> {
    return layer === undefined || (await this.walk.layers.isVisible(layer));
  }

  clipTo(box: SourceBox): void {
    this.state.clip = boxClipped(this.state.clip, box);
  }

  /** Walks the content of a form, pattern cell, mask group or glyph. Skips cycles and unreadable streams. */
  async walkNested(
    form: FormInfo,
    { kind, state, isVisible, area, layer }: Nested,
    walk = this.walk,
  ): Promise<void> {
    const { level: parent } = this;
    if (isWithin(parent, form.stream)) return;
    if (parent.depth >= MAX_DEPTH) throw problemTooDeep(`The page nests forms more than ${MAX_DEPTH} deep.`);
    const level: ContentLevel = {
      kind,
      stream: form.stream,
      ref: form.ref,
      parent,
      depth: parent.depth + 1,
      isByProxy: parent.isByProxy || kind !== 'form',
      area: parent.area ?? area,
    };
    if (form.box !== undefined) state.clip = boxClipped(state.clip, boxTransformed(form.box, state.ctm));
    let content: Uint8Array;
    try {
      content = await walk.content(form.stream);
    } catch (error) {
      if (!isPdfProblem(error)) throw error;
      walk.visitor.onTrouble?.(error, level);
      return;
    }
    walk.countForm(content);
    const resources = form.resources === undefined ? this.resources : walk.resourcesOf(form.resources);
    walk.visitor.onStreamBegun?.(level, content);
    const layers = layer ? [...this.#layers, layer] : this.#layers;
    const nested = new StreamWalk(this.#operators, walk, level, resources, { state, isVisible, layers });
    await nested.run(onePiece(content));
    walk.visitor.onStreamEnded?.(level);
  }
}

function isWithin(level: ContentLevel, stream: PDFStream): boolean {
  for (let at: ContentLevel | undefined = level; at !== undefined; at = at.parent) {
    if (at.stream === stream) return true;
  }
  return false;
}

async function* onePiece(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}
