import type { PDFStream } from 'pdf-lib';
import { bytesJoined } from '../file/byte-stream.ts';
import { boxIntersection, boxUnion, type Matrix, type SourceBox } from '../page/page-space.ts';
import {
  boxGrown,
  boxOverlap,
  boxTransformed,
  isBoxEmpty,
  isOverlapping,
  matrixInverse,
  UNIT_SQUARE,
} from './bounds.ts';
import type { ContentPlace } from './content-place.ts';
import type { ContentVisitor, Painted, ResourceCategory } from './painted.ts';
import { type Item, type StreamCut, StreamRecord } from './stream-record.ts';
import { contentWalk } from './walk.ts';
import type { WalkedPage } from './walk-state.ts';

/** What one window of a page needs of it. */
export interface WindowContent {
  readonly page: StreamCut;
  /** Each form that shows in the window, with its own shortened content. Others are not needed. */
  readonly forms: ReadonlyMap<PDFStream, StreamCut>;
  /** Each image XObject that shows in the window. */
  readonly images: ReadonlyMap<PDFStream, ImageNeed>;
}

/** What of an image shows in a window. */
export interface ImageNeed {
  /**
   * The part of its unit square, over all its placements (row 0 of the pixels lies at y = 1); `whole` where it is
   * also used by a pattern, mask or glyph, or where no matrix can be put in front of it.
   */
  readonly part: SourceBox | 'whole';
  /** Unit square to user space, where the window shows it first. */
  readonly placement: Matrix;
}

export interface WindowOptions {
  /** How far around a window things count as touching it, user space units: hairlines and anti-aliasing reach over. */
  readonly slack?: number;
}

const DEFAULT_SLACK = 2;
const NO_SETTERS: readonly Item[] = [];
/** Windows of one recorder: one bit each. */
const WINDOWS_A_RECORDER = 30;
/** Fonts may reach beyond the box that they state; text counts as this many font sizes larger. */
const TEXT_MARGIN = 0.5;

/**
 * Decides for each window (user space) what of the page's content can be left out, in one walk for all. What is
 * removed paints nothing inside the window grown by the slack; state, clips and painting order stay as they were.
 * In doubt things stay. @throws PdfProblem when the page's own content cannot be read
 */
export async function contentForWindows(
  page: WalkedPage,
  windows: readonly SourceBox[],
  options: WindowOptions = {},
): Promise<WindowContent[]> {
  const content = await contentJoined(page.contents());
  const slack = options.slack ?? DEFAULT_SLACK;
  const recorders: WindowRecorder[] = [];
  for (let first = 0; first < windows.length; first += WINDOWS_A_RECORDER) {
    const some = windows.slice(first, first + WINDOWS_A_RECORDER);
    recorders.push(
      new WindowRecorder(
        content,
        some.map((box) => boxGrown(box, slack, slack)),
      ),
    );
  }
  await contentWalk({ ...page, contents: () => onePiece(content) }, new AllRecorders(recorders));
  const found: WindowContent[] = [];
  for (const i of windows.keys()) {
    found.push(recorders[Math.floor(i / WINDOWS_A_RECORDER)]!.windowContent(i % WINDOWS_A_RECORDER));
    await page.pause?.();
  }
  return found;
}

/** Tells several recorders of one walk. What shows for none of them is not entered. */
class AllRecorders implements ContentVisitor {
  readonly entersPatterns = true;
  readonly entersSoftMasks = true;
  readonly entersGlyphs = true;
  readonly #recorders: readonly WindowRecorder[];

  constructor(recorders: readonly WindowRecorder[]) {
    this.#recorders = recorders;
  }

  streamBegun(...told: Parameters<WindowRecorder['streamBegun']>): void {
    for (const recorder of this.#recorders) recorder.streamBegun(...told);
  }

  streamEnded(...told: Parameters<WindowRecorder['streamEnded']>): void {
    for (const recorder of this.#recorders) recorder.streamEnded(...told);
  }

  operator(name: string, start: number, end: number, place: ContentPlace): void {
    for (const recorder of this.#recorders) recorder.operator(name, start, end, place);
  }

  resourceUsed(...told: Parameters<WindowRecorder['resourceUsed']>): void {
    for (const recorder of this.#recorders) recorder.resourceUsed(...told);
  }

  trouble(...told: Parameters<WindowRecorder['trouble']>): void {
    for (const recorder of this.#recorders) recorder.trouble(...told);
  }

  painted(painted: Painted): void {
    for (const recorder of this.#recorders) recorder.painted(painted);
  }

  formEntered(form: Painted): boolean {
    return this.#recorders.some((recorder) => recorder.formEntered(form));
  }
}

class WindowRecorder {
  readonly #windows: readonly SourceBox[];
  readonly #page: StreamRecord;
  readonly #forms = new Map<PDFStream, StreamRecord>();
  /** Windows that each form shows in. */
  readonly #formMasks = new Map<PDFStream, number>();
  readonly #images = new Map<PDFStream, (ImageNeed | undefined)[]>();
  /** Content that cannot be read may use any image in any way. */
  #hasTrouble = false;
  #mask = 0;

  constructor(content: Uint8Array, windows: readonly SourceBox[]) {
    this.#windows = windows;
    this.#page = new StreamRecord(content);
  }

  streamBegun(place: ContentPlace, content: Uint8Array | undefined): void {
    if (place.stream !== undefined && !this.#forms.has(place.stream)) {
      this.#forms.set(place.stream, new StreamRecord(content ?? new Uint8Array()));
    }
    const record = this.#record(place);
    if (place.isByProxy) record.isWhole = true;
    record.begin();
  }

  streamEnded(place: ContentPlace): void {
    this.#record(place).end();
  }

  operator(name: string, start: number, end: number, place: ContentPlace): void {
    if (!place.isByProxy) this.#record(place).operator(name, start, end);
  }

  resourceUsed(category: ResourceCategory, _: string, start: number, end: number, place: ContentPlace): void {
    if (place.isByProxy || (category !== 'Font' && category !== 'Pattern')) return;
    this.#record(place).setter(start, end);
  }

  trouble(_: unknown, place: ContentPlace): void {
    this.#hasTrouble = true;
    if (place.stream === undefined) return;
    const record = this.#forms.get(place.stream) ?? new StreamRecord(new Uint8Array());
    record.isWhole = true;
    this.#forms.set(place.stream, record);
  }

  painted(painted: Painted): void {
    const { place, kind, object } = painted;
    this.#mask = this.#maskOf(painted);
    if (object !== undefined && kind === 'image') this.#imageNeeded(object, painted);
    if (object !== undefined && kind === 'form') {
      this.#formMasks.set(object, (this.#formMasks.get(object) ?? 0) | this.#mask);
    }
    if (place.isByProxy) {
      for (const setter of this.#settersOf(painted)) setter.mask = -1;
      return;
    }
    const { start, end, isSelfContained: isRemovable } = painted;
    const setters = this.#settersOf(painted);
    if (object !== undefined && kind === 'image') {
      this.#record(place).imagePainted({ image: object, start, end });
    }
    this.#record(place).painted({
      start,
      end,
      mask: this.#mask,
      isRemovable,
      isText: kind === 'text',
      setters,
    });
  }

  #settersOf({ kind, isFilled, isStroked, state }: Painted): readonly Item[] {
    const fill = isFilled ? state.fill.setter : undefined;
    const stroke = isStroked ? state.stroke.setter : undefined;
    const font = kind === 'text' ? state.fontSetter : undefined;
    if (fill === undefined && stroke === undefined && font === undefined) return NO_SETTERS;
    const setters = [fill, stroke, font];
    return setters.flatMap((setter) =>
      setter === undefined ? [] : [this.#record(setter.place).setter(setter.start)],
    );
  }

  formEntered(form: Painted): boolean {
    return this.#mask !== 0 || form.place.isByProxy;
  }

  windowContent(window: number): WindowContent {
    const bit = 1 << window;
    const forms = new Map<PDFStream, StreamCut>();
    for (const [stream, record] of this.#forms) {
      const isShown = record.isWhole || ((this.#formMasks.get(stream) ?? 0) & bit) !== 0;
      if (isShown) forms.set(stream, record.cut(bit));
    }
    const images = new Map<PDFStream, ImageNeed>();
    for (const [stream, needs] of this.#images) {
      const need = needs[window];
      if (need !== undefined) images.set(stream, this.#hasTrouble ? { ...need, part: 'whole' } : need);
    }
    return { page: this.#page.cut(bit), forms, images };
  }

  #record(place: ContentPlace): StreamRecord {
    return place.stream === undefined ? this.#page : this.#forms.get(place.stream)!;
  }

  #maskOf({ bounds, clip, place, text, state }: Painted): number {
    let box = bounds;
    if (text !== undefined) {
      const margin = Math.abs(text.size) * TEXT_MARGIN;
      const [a, b, c, d] = text.matrix;
      box = boxGrown(
        box,
        margin * Math.max(Math.abs(a), Math.abs(c)),
        margin * Math.max(Math.abs(b), Math.abs(d)),
      );
    }
    // Numbers beyond all sense come from broken files: what cannot be placed may be anywhere.
    const isPlaced = [box.x0, box.y0, box.x1, box.y1].every((value) => !Number.isNaN(value));
    if (!isPlaced || place.isByProxy || state.ctm.some(Number.isNaN)) return -1;
    const shown = boxOverlap(box, clip);
    if (isBoxEmpty(shown)) return 0;
    let mask = 0;
    for (let i = 0; i < this.#windows.length; i++) {
      if (isOverlapping(shown, this.#windows[i]!)) mask |= 1 << i;
    }
    return mask;
  }

  /** Windows that show the form in which something paints by proxy: no other panel is to hear of it. */
  #maskAround(place: ContentPlace): number {
    let at: ContentPlace | undefined = place;
    while (at?.isByProxy) at = at.parent;
    return at?.stream === undefined ? -1 : (this.#formMasks.get(at.stream) ?? 0);
  }

  #imageNeeded(stream: PDFStream, { place, clip, state }: Painted): void {
    const needs = this.#images.get(stream) ?? this.#windows.map(() => undefined);
    this.#images.set(stream, needs);
    const around = place.isByProxy ? this.#maskAround(place) : -1;
    for (const [i, window] of this.#windows.entries()) {
      if ((around & (1 << i)) === 0) continue;
      if (place.isByProxy || this.#record(place).isInText) {
        needs[i] = { part: 'whole', placement: state.ctm };
      }
      const known = needs[i];
      if (known?.part === 'whole' || (this.#mask & (1 << i)) === 0) continue;
      const part = unitPart(boxOverlap(window, clip), state.ctm);
      if (part === undefined) continue;
      if (part === 'whole' || known === undefined) needs[i] = { part, placement: state.ctm };
      else needs[i] = { ...known, part: boxUnion(known.part as SourceBox, part) };
    }
  }
}

/** The part of an image's unit square that a box of the page shows; `whole` where the map cannot be undone. */
function unitPart(box: SourceBox, ctm: Matrix): SourceBox | 'whole' | undefined {
  const inverse = matrixInverse(ctm);
  if (inverse === undefined) return 'whole';
  return boxIntersection(boxTransformed(box, inverse), UNIT_SQUARE);
}

/** All content as one string of bytes, as long as it stays in memory: it is text, not pictures. */
async function contentJoined(pieces: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  for await (const piece of pieces) parts.push(piece);
  return bytesJoined(parts);
}

async function* onePiece(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}
