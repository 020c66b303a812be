/** One pass through one content stream: its path, its text, its state, and which objects it paints. */
import { PDFArray, PDFDict, PDFName, type PDFObject, PDFStream } from 'pdf-lib';
import { nameOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { type Matrix, matrixProduct, type SourceBox } from '../../pdf/page/page-space.ts';
import { type ContentHash, hashed, hashedBytes, hashedText } from './content-hash.ts';
import type { ContentReader } from './content-reader.ts';
import { NAMED_BY_OPERATOR, type NamedOperand, type ObjectDigests } from './object-digests.ts';
import type { PaintState, Parameter } from './paint-state.ts';
import {
  boxesShared,
  boxOfLine,
  boxOfUnit,
  boxWidened,
  NO_BOX,
  PointBox,
  pointThrough,
} from './painted-boxes.ts';
import type { PaintedKind } from './painted-sequence.ts';

/** Facts about an object besides its hashes. */
export interface AddedObject {
  /** The box that certainly shows, before clipping. */
  readonly box?: SourceBox | undefined;
  /** The box of everything that may show, before clipping; undefined where it is not known. */
  readonly bound?: SourceBox | undefined;
  readonly place?: ContentHash;
  readonly words?: string;
}

/** The calls that a pass makes to its walk. */
export interface WalkOfRun {
  readonly file: PdfFile;
  readonly digests: ObjectDigests;
  readonly layer: ContentHash;
  add(
    kind: PaintedKind,
    shape: ContentHash,
    color: ContentHash,
    style: ContentHash,
    state: PaintState,
    more: AddedObject,
  ): number;
  beginLayer(layer: PDFObject | undefined): Promise<boolean>;
  endLayer(before: ContentHash, wasVisible: boolean): void;
  paintObject(
    stream: PDFStream,
    state: PaintState,
    resources: PDFDict | undefined,
    defaults: ContentHash,
    depth: number,
  ): Promise<void>;
}

const MAX_SAVED = 100_000;
/** The default miter limit, for content that sets none; no mark sets a higher one. */
const MITER_LIMIT = 10;

type Painting = readonly [isFilled: boolean, isStroked: boolean];

// An operator may be any word, even the name of an object's own method, so these are maps, not records.
const PAINTING = new Map<string, Painting>(
  Object.entries({
    f: [true, false],
    F: [true, false],
    'f*': [true, false],
    S: [false, true],
    s: [false, true],
    B: [true, true],
    b: [true, true],
    'B*': [true, true],
    'b*': [true, true],
    n: [false, false],
  }),
);

/** Operators that set one parameter to their operands. */
const SETTERS = new Map<string, Parameter>(
  Object.entries({
    w: 'LW',
    J: 'LC',
    j: 'LJ',
    M: 'ML',
    d: 'D',
    ri: 'RI',
    i: 'FL',
    Tc: 'Tc',
    Tw: 'Tw',
    Tz: 'Tz',
    Ts: 'Ts',
  }),
);

const DEVICE_COLORS = new Map<string, readonly [parameter: 'fill' | 'stroke', family: string]>(
  Object.entries({
    g: ['fill', 'DeviceGray'],
    G: ['stroke', 'DeviceGray'],
    rg: ['fill', 'DeviceRGB'],
    RG: ['stroke', 'DeviceRGB'],
    k: ['fill', 'DeviceCMYK'],
    K: ['stroke', 'DeviceCMYK'],
  }),
);

export class StreamRun {
  readonly #walk: WalkOfRun;
  readonly #resources: PDFDict | undefined;
  readonly #defaults: ContentHash;
  readonly #depth: number;
  /** The space of patterns (8.7.2). */
  readonly #base: ContentHash;
  #state: PaintState;
  readonly #saved: PaintState[] = [];
  readonly #marked: { readonly layer: ContentHash; readonly isVisible: boolean }[] = [];
  #path: ContentHash = 0;
  #pathBox = new PointBox();
  /** The box also contains the control points of curves. */
  #pathHull = new PointBox();
  #segments = 0;
  #clipRule = '';
  #pen: ContentHash = 0;
  #line: Matrix = [1, 0, 0, 1, 0, 0];
  /** Whether the pen is still where it was placed, because no text was shown since. */
  #isPenAtLine = true;
  #textClip: ContentHash = 0;

  constructor(
    walk: WalkOfRun,
    resources: PDFDict | undefined,
    state: PaintState,
    defaults: ContentHash,
    depth: number,
  ) {
    this.#walk = walk;
    this.#resources = resources;
    this.#state = state;
    this.#defaults = defaults;
    this.#depth = depth;
    this.#base = state.get('place');
  }

  /** Handles one operator. Returns a promise where it needs an object of the file. */
  take(reader: ContentReader): Promise<void> | undefined {
    const { operator } = reader;
    if (this.#takePath(operator, reader)) return undefined;
    const painting = PAINTING.get(operator);
    if (painting) return void this.#paintPath(operator, painting);
    const setter = SETTERS.get(operator);
    if (operator === 'w') this.#state.lineWidth = reader.number(0);
    if (setter) return void this.#state.set(setter, hashed(1, reader.operandsHash));
    const device = DEVICE_COLORS.get(operator);
    if (device) return void this.#setDeviceColor(device, reader);
    if (this.#takeText(operator, reader)) return undefined;
    switch (operator) {
      case 'q':
        if (this.#saved.length < MAX_SAVED) this.#saved.push(this.#state.copy());
        return undefined;
      case 'Q':
        this.#state = this.#saved.pop() ?? this.#state;
        return undefined;
      case 'cm': {
        const state = this.#state;
        state.ctm = matrixProduct(matrixFrom(reader), state.ctm);
        state.set('place', hashed(state.get('place'), reader.operandsHash));
        return undefined;
      }
      case 'BMC':
        this.#marked.push({ layer: this.#walk.layer, isVisible: true });
        return undefined;
      case 'EMC': {
        const marked = this.#marked.pop();
        if (marked) this.#walk.endLayer(marked.layer, marked.isVisible);
        return undefined;
      }
      case 'BI':
        return void this.#paintInlineImage(reader);
      case 'scn':
      case 'SCN':
        if (reader.name(-1) === undefined) return void this.#setColor(operator, reader, 0);
    }
    if (operator === 'sc' || operator === 'SC') return void this.#setColor(operator, reader, 0);
    const named = NAMED_BY_OPERATOR.get(operator);
    return named && this.#takeNamed(operator, named, reader);
  }

  #takePath(operator: string, reader: ContentReader): boolean {
    const control = (x: number, y: number) =>
      this.#pathHull.add(this.#state.ctm, reader.number(x), reader.number(y));
    const point = (x: number, y: number) => {
      this.#pathBox.add(this.#state.ctm, reader.number(x), reader.number(y));
      control(x, y);
    };
    switch (operator) {
      case 'm':
        point(0, 1);
        break;
      case 'l':
        point(0, 1);
        this.#segments++;
        break;
      case 'c':
        control(0, 1);
        control(2, 3);
        point(4, 5);
        this.#segments += 2;
        break;
      case 'v':
      case 'y':
        control(0, 1);
        point(2, 3);
        this.#segments += 2;
        break;
      case 're': {
        const [x, y, width, height] = [0, 1, 2, 3].map((i) => reader.number(i)) as [
          number,
          number,
          number,
          number,
        ];
        const { ctm } = this.#state;
        for (const box of [this.#pathBox, this.#pathHull]) {
          box.add(ctm, x, y);
          box.add(ctm, x + width, y);
          box.add(ctm, x, y + height);
          box.add(ctm, x + width, y + height);
        }
        break;
      }
      case 'h':
        break;
      case 'W':
      case 'W*':
        this.#clipRule = operator;
        return true;
      default:
        return false;
    }
    this.#path = hashed(hashedText(this.#path, operator), reader.operandsHash);
    return true;
  }

  #paintPath(operator: string, [isFilled, isStroked]: Painting): void {
    const state = this.#state;
    const box = this.#pathBox.box;
    if ((isFilled || isStroked) && box) {
      const color = hashed(isFilled ? state.get('fill') : 0, isStroked ? state.get('stroke') : 0);
      const words = [isFilled ? state.fillWords : '', isStroked ? `line ${state.strokeWords}` : ''];
      const shape = hashedText(this.#path, operator);
      const style = isStroked ? state.line : 0;
      const text = words.filter((word) => word !== '').join(', ');
      const bound = boxWidened(this.#pathHull.box ?? box, isStroked ? this.#strokeReach() : 0);
      this.#walk.add('path', shape, color, style, state, { box, bound, words: text });
    }
    if (this.#clipRule !== '') {
      const outline = hashed(hashedText(this.#path, this.#clipRule), state.get('place'));
      state.set('clip', hashed(state.get('clip'), outline));
      state.clip = box ? boxesShared(state.clip, box) : NO_BOX;
      state.clipHull = box ? boxesShared(state.clipHull, this.#pathHull.box ?? box) : NO_BOX;
      this.#clipRule = '';
    }
    this.#path = 0;
    this.#pathBox = new PointBox();
    this.#pathHull = new PointBox();
    this.#segments = 0;
  }

  /**
   * How far a stroke extends beyond its path: by square caps and right angles, or by the sharpest possible join
   * (8.4.3.5).
   */
  #strokeReach(): number {
    const { lineWidth, ctm } = this.#state;
    const [a, b, c, d] = ctm;
    const scale = Math.max(Math.abs(a) + Math.abs(c), Math.abs(b) + Math.abs(d));
    return (lineWidth / 2) * scale * (this.#segments > 1 ? MITER_LIMIT : Math.SQRT2);
  }

  #takeText(operator: string, reader: ContentReader): boolean {
    const state = this.#state;
    switch (operator) {
      case 'BT':
        this.#pen = 1;
        this.#line = [1, 0, 0, 1, 0, 0];
        this.#isPenAtLine = true;
        this.#textClip = 0;
        return true;
      case 'ET':
        if (this.#textClip !== 0) state.set('clip', hashed(state.get('clip'), this.#textClip));
        this.#textClip = 0;
        return true;
      case 'TL':
        this.#setLeading(reader.number(0), reader.operandsHash);
        return true;
      case 'Tr':
        state.textMode = reader.number(0);
        state.set('Tr', hashed(1, reader.operandsHash));
        return true;
      case 'Tm':
        this.#line = matrixFrom(reader);
        this.#putPen(hashed(2, reader.operandsHash));
        return true;
      case 'TD':
        this.#setLeading(-reader.number(1), hashed(3, reader.operandsHash));
        this.#beginLine(reader.number(0), reader.number(1), reader.operandsHash);
        return true;
      case 'Td':
        this.#beginLine(reader.number(0), reader.number(1), reader.operandsHash);
        return true;
      case 'T*':
        this.#beginLine(0, -state.leading, state.get('TL'));
        return true;
      case 'Tj':
      case 'TJ':
        this.#show(reader);
        return true;
      case "'":
      case '"':
        if (operator === '"') {
          state.set('Tw', hashed(1, hashed(0, reader.number(0))));
          state.set('Tc', hashed(1, hashed(0, reader.number(1))));
        }
        this.#beginLine(0, -state.leading, state.get('TL'));
        this.#show(reader);
        return true;
      default:
        return false;
    }
  }

  #setLeading(leading: number, hash: ContentHash): void {
    this.#state.leading = leading;
    this.#state.set('TL', hashed(1, hash));
  }

  /** The start of a line does not depend on the text shown in the line before. */
  #beginLine(x: number, y: number, hash: ContentHash): void {
    this.#line = matrixProduct([1, 0, 0, 1, x, y], this.#line);
    this.#putPen(hashed(hashed(this.#pen, 4), hash));
  }

  #putPen(pen: ContentHash): void {
    this.#pen = pen;
    this.#isPenAtLine = true;
  }

  #show(reader: ContentReader): void {
    const state = this.#state;
    const shape = hashed(hashed(this.#pen, hashedText(0, reader.operator)), reader.operandsHash);
    if (reader.hasText()) {
      const isStroked = [1, 2, 5, 6].includes(state.textMode);
      const color = hashed(state.get('fill'), isStroked ? state.get('stroke') : 0);
      const style = hashed(state.text, isStroked ? state.line : 0);
      const isPlaced = this.#isPenAtLine && state.isFontPlain && state.textMode !== 3 && state.textMode !== 7;
      const pen = isPlaced ? pointThrough(this.#line[4], this.#line[5], state.ctm) : undefined;
      const isOnLine = state.isFontPlain && state.get('Ts') === 0 && !isStroked;
      const bound = isOnLine ? boxOfLine(matrixProduct(this.#line, state.ctm), state.fontSize) : undefined;
      this.#walk.add('text', shape, color, style, state, { box: pen, bound, words: state.fillWords });
      if (state.textMode >= 4) this.#textClip = hashed(this.#textClip, hashed(shape, style));
      this.#isPenAtLine = false;
    }
    this.#pen = shape;
  }

  #setDeviceColor([parameter, family]: readonly ['fill' | 'stroke', string], reader: ContentReader): void {
    const state = this.#state;
    const space = hashed(hashedText(0, family), this.#defaults);
    state.set(parameter === 'fill' ? 'fillSpace' : 'strokeSpace', space);
    state.set(parameter, hashed(space, reader.operandsHash));
    const words = `${family} ${reader.operands.map((_, i) => reader.number(i)).join(' ')}`;
    if (parameter === 'fill') state.fillWords = words;
    else state.strokeWords = words;
  }

  #setColor(operator: string, reader: ContentReader, pattern: ContentHash): void {
    const state = this.#state;
    const isFill = operator === 'sc' || operator === 'scn';
    const space = state.get(isFill ? 'fillSpace' : 'strokeSpace');
    const placed = pattern === 0 ? 0 : hashed(pattern, this.#base);
    // Pattern names may differ, so the pattern itself is compared.
    const operands = pattern === 0 ? reader.operandsHash : numbersHash(reader);
    state.set(isFill ? 'fill' : 'stroke', hashed(hashed(space, operands), placed));
    const written = reader.operands.map((_, i) => reader.written(i)).join(' ');
    const [before] = (isFill ? state.fillWords : state.strokeWords).split(' in ', 1) as [string];
    const name = before.split(' ', 2).join(' ');
    if (isFill) state.fillWords = `${name} ${written}`;
    else state.strokeWords = `${name} ${written}`;
  }

  #paintInlineImage(reader: ContentReader): void {
    const state = this.#state;
    const shape = hashedBytes(reader.operandsHash, reader.data ?? new Uint8Array());
    const color = hashed(state.get('fill'), this.#defaults);
    const box = boxOfUnit(state.ctm);
    this.#walk.add('inline image', shape, color, 0, state, { box, bound: box });
  }

  async #takeNamed(
    operator: string,
    [category, operand]: NamedOperand,
    reader: ContentReader,
  ): Promise<void> {
    const { digests, file } = this.#walk;
    const name = reader.name(operand);
    const found = name === undefined ? undefined : await digests.resource(this.#resources, category, name);
    const state = this.#state;
    switch (operator) {
      case 'gs':
        if (found instanceof PDFDict) await this.#setParameters(found);
        return;
      case 'cs':
      case 'CS':
        return await this.#setSpace(operator, name ?? '', found);
      case 'scn':
      case 'SCN':
        return this.#setColor(operator, reader, hashed(1, await digests.of(found, this.#resources)));
      case 'Tf': {
        const isType3 =
          nameOf(await file.entry(found instanceof PDFDict ? found : undefined, 'Subtype')) === 'Type3';
        state.isFontPlain = found instanceof PDFDict && !isType3;
        state.fontSize = reader.number(1);
        state.set('Font', hashed(await digests.of(found, this.#resources), reader.number(1)));
        return;
      }
      case 'sh': {
        const shape = await digests.of(found, this.#resources);
        const box = found === undefined ? undefined : state.clip;
        this.#walk.add('shading', shape, this.#defaults, 0, state, { box, bound: state.clipHull });
        return;
      }
      case 'Do':
        if (found instanceof PDFStream)
          await this.#walk.paintObject(found, state, this.#resources, this.#defaults, this.#depth);
        return;
      case 'BDC': {
        const before = this.#walk.layer;
        const isLayer = reader.name(0) === 'OC' && found !== undefined;
        const isVisible = isLayer ? await this.#walk.beginLayer(found) : true;
        this.#marked.push({ layer: before, isVisible });
      }
    }
  }

  async #setSpace(operator: string, name: string, found: PDFObject | undefined): Promise<void> {
    const state = this.#state;
    const isFill = operator === 'cs';
    const space = hashed(
      hashed(found ? 5 : hashedText(6, name), await this.#walk.digests.of(found)),
      this.#defaults,
    );
    state.set(isFill ? 'fillSpace' : 'strokeSpace', space);
    state.set(isFill ? 'fill' : 'stroke', space);
    const words = found instanceof PDFArray ? spaceWords(found, name) : name;
    if (isFill) state.fillWords = words;
    else state.strokeWords = words;
  }

  async #setParameters(parameters: PDFDict): Promise<void> {
    const { digests, file } = this.#walk;
    const state = this.#state;
    for (const [key, value] of parameters.entries()) {
      const name = key.decodeText();
      if (name === 'Type') continue;
      let digest = hashed(hashedText(7, name), await digests.of(value, this.#resources));
      // A mask is placed by the matrix in force when it was set (11.6.5.3).
      if (name === 'SMask') digest = hashed(digest, state.get('place'));
      state.setByKey(name, digest);
      if (name === 'LW') state.lineWidth = numberOf(await file.resolved(value)) ?? state.lineWidth;
      if (name !== 'Font') continue;
      // The size is not read, so text in it may extend anywhere.
      state.fontSize = 0;
      const [font] = ((await file.resolved(value)) as PDFArray | undefined)?.asArray?.() ?? [];
      const dict = await file.resolved(font);
      state.isFontPlain = dict instanceof PDFDict && nameOf(await file.entry(dict, 'Subtype')) !== 'Type3';
    }
  }
}

function matrixFrom(reader: ContentReader): Matrix {
  return [0, 1, 2, 3, 4, 5].map((i) => reader.number(i)) as unknown as Matrix;
}

function numbersHash(reader: ContentReader): ContentHash {
  let hash = 0;
  for (const operand of reader.operands) if (typeof operand === 'number') hash = hashed(hash, operand);
  return hash;
}

function spaceWords(space: PDFArray, name: string): string {
  const [family, colorant] = space.asArray();
  const named = colorant instanceof PDFName ? ` “${colorant.decodeText()}”` : ` “${name}”`;
  return family instanceof PDFName ? `${family.decodeText()}${named}` : name;
}
