import type { PDFStream } from 'pdf-lib';
import { itemAt, valueAt } from '../../measure/present.ts';
import { boxIntersection, boxUnion, type Matrix, matrixInverse, type SourceBox } from '../page/page-space.ts';
import { boxGrown, boxOverlap, boxTransformed, isBoxEmpty, isOverlapping, UNIT_SQUARE } from './bounds.ts';
import type { ContentLevel } from './content-level.ts';
import type { Setter } from './graphics-state.ts';
import { operandNames } from './operand-names.ts';
import type { OperationReader } from './operation-reader.ts';
import type { ContentVisitor, Painted, ResourceCategory } from './painted.ts';
import { type SetterItem, type StreamCut, StreamRecord } from './stream-record.ts';
import { walkContent } from './walk.ts';
import type { WalkedPage } from './walk-state.ts';

/** The parts of a page's content that one area needs. */
export interface AreaContent {
  readonly page: StreamCut;
  /** Each form that shows in the area, with its own shortened content. The area does not need other forms. */
  readonly forms: ReadonlyMap<PDFStream, StreamCut>;
  /** Each image XObject that shows in the area. */
  readonly images: ReadonlyMap<PDFStream, ImageNeed>;
}

/** What of an image shows in an area. */
export interface ImageNeed {
  /**
   * The part of its unit square that shows, over all its placements (row 0 of the pixels is at y = 1). `whole` where a
   * pattern, mask or glyph also uses the image, or where no matrix can be put in front of it.
   */
  readonly part: SourceBox | 'whole';
  /** Maps the unit square to user space at the first place where the area shows the image. */
  readonly placement: Matrix;
}

export interface AreaOptions {
  /**
   * Objects this close to an area, in user space units, count as touching it, because hairlines and anti-aliasing
   * extend past their edges.
   */
  readonly slack?: number;
}

const DEFAULT_SLACK = 2;
const NO_SETTERS: readonly SetterItem[] = [];
/** These set a color. One of them can be removed where nothing is painted before the next one. */
const COLOR_OPERATORS = new Set(['g', 'G', 'rg', 'RG', 'k', 'K', 'cs', 'CS', 'sc', 'SC', 'scn', 'SCN']);
/** Areas per recorder, one bit each. */
const AREAS_A_RECORDER = 30;
/** Fonts may extend beyond the box that they state, so text counts as larger by this many font sizes. */
const TEXT_MARGIN = 0.5;

/**
 * Decides for each area (user space) which parts of the page's content can be left out, in one walk for all areas.
 * Removed parts paint nothing inside the area grown by the slack; state, clips and painting order stay as they were.
 * Anything doubtful is kept. @throws PdfProblem when the page's own content cannot be read
 */
export async function contentForAreas(
  page: WalkedPage,
  areas: readonly SourceBox[],
  options: AreaOptions = {},
): Promise<AreaContent[]> {
  const slack = options.slack ?? DEFAULT_SLACK;
  const recorders: AreaRecorder[] = [];
  for (let first = 0; first < areas.length; first += AREAS_A_RECORDER) {
    const some = areas.slice(first, first + AREAS_A_RECORDER);
    recorders.push(new AreaRecorder(some.map((box) => boxGrown(box, slack, slack))));
  }
  await walkContent(page, new AllRecorders(recorders));
  const found: AreaContent[] = [];
  for (const i of areas.keys()) {
    found.push(itemAt(recorders, Math.floor(i / AREAS_A_RECORDER)).areaContent(i % AREAS_A_RECORDER));
    await page.pause?.();
  }
  return found;
}

/** Passes one walk on to several recorders. Forms that show for none of them are not entered. */
class AllRecorders implements ContentVisitor {
  readonly entersPatterns = true;
  readonly entersSoftMasks = true;
  readonly entersGlyphs = true;
  readonly #recorders: readonly AreaRecorder[];

  constructor(recorders: readonly AreaRecorder[]) {
    this.#recorders = recorders;
  }

  onStreamBegun(...told: Parameters<AreaRecorder['onStreamBegun']>): void {
    for (const recorder of this.#recorders) recorder.onStreamBegun(...told);
  }

  onStreamEnded(...told: Parameters<AreaRecorder['onStreamEnded']>): void {
    for (const recorder of this.#recorders) recorder.onStreamEnded(...told);
  }

  onOperator(name: string, start: number, end: number, level: ContentLevel, reader: OperationReader): void {
    if (level.isByProxy) return;
    const names = operandNames(reader);
    for (const recorder of this.#recorders) recorder.onOperator(name, start, end, level, names);
  }

  onResourceUsed(...told: Parameters<AreaRecorder['onResourceUsed']>): void {
    for (const recorder of this.#recorders) recorder.onResourceUsed(...told);
  }

  onTrouble(...told: Parameters<AreaRecorder['onTrouble']>): void {
    for (const recorder of this.#recorders) recorder.onTrouble(...told);
  }

  onPainted(painted: Painted): void {
    for (const recorder of this.#recorders) recorder.onPainted(painted);
  }

  entersForm(form: Painted): boolean {
    return this.#recorders.some((recorder) => recorder.entersForm(form));
  }
}

class AreaRecorder {
  readonly #areas: readonly SourceBox[];
  readonly #page = new StreamRecord();
  readonly #forms = new Map<PDFStream, StreamRecord>();
  /** The areas that each form shows in, as bits. */
  readonly #formMasks = new Map<PDFStream, number>();
  readonly #images = new Map<PDFStream, (ImageNeed | undefined)[]>();
  /** Set when content cannot be read: it may then use any image in any way. */
  #hasTrouble = false;
  #mask = 0;

  constructor(areas: readonly SourceBox[]) {
    this.#areas = areas;
  }

  onStreamBegun(level: ContentLevel): void {
    if (level.stream !== undefined && !this.#forms.has(level.stream)) {
      this.#forms.set(level.stream, new StreamRecord());
    }
    const record = this.#record(level);
    if (level.isByProxy) record.isWhole = true;
    record.begin();
  }

  onStreamEnded(level: ContentLevel): void {
    this.#record(level).end();
  }

  onOperator(name: string, start: number, end: number, level: ContentLevel, names: readonly string[]): void {
    const record = this.#record(level);
    record.addOperator(name, start, end);
    if (names.length > 0) record.addNames(names, start);
    if (COLOR_OPERATORS.has(name)) record.setter(start, end);
  }

  onResourceUsed(
    category: ResourceCategory,
    _: string,
    start: number,
    end: number,
    level: ContentLevel,
  ): void {
    if (level.isByProxy || (category !== 'Font' && category !== 'Pattern')) return;
    this.#record(level).setter(start, end);
  }

  onTrouble(_: unknown, level: ContentLevel): void {
    this.#hasTrouble = true;
    if (level.stream === undefined) return;
    const record = this.#forms.get(level.stream) ?? new StreamRecord();
    record.isWhole = true;
    this.#forms.set(level.stream, record);
  }

  onPainted(painted: Painted): void {
    const { level, kind, object } = painted;
    this.#mask = this.#maskOf(painted);
    if (object !== undefined && kind === 'image') this.#needImage(object, painted);
    if (object !== undefined && kind === 'form') {
      this.#formMasks.set(object, (this.#formMasks.get(object) ?? 0) | this.#mask);
    }
    if (level.isByProxy) {
      for (const { record, item } of this.#settersOf(painted)) record.needSetter(item, -1);
      return;
    }
    const { start, end, isSelfContained: isRemovable } = painted;
    const setters = this.#settersOf(painted);
    if (object !== undefined && kind === 'image') {
      this.#record(level).addImage({ image: object, start, end });
    }
    this.#record(level).addPainting({
      start,
      end,
      mask: this.#mask,
      isRemovable,
      isText: kind === 'text',
      setters,
    });
  }

  /** A form may paint with everything that is set; so may a glyph that is drawn by operators. */
  #settersOf({ kind, isFilled, isStroked, state, text }: Painted): readonly SetterItem[] {
    const isOpen = kind === 'form' || text?.font.type3 !== undefined;
    const found: SetterItem[] = [];
    const add = (setter: Setter | undefined): void => {
      if (setter !== undefined && !setter.level.isByProxy) {
        found.push(this.#record(setter.level).setter(setter.start));
      }
    };
    if (isFilled || isOpen) {
      const { setter, spaceSetter } = state.fill;
      add(setter);
      if (spaceSetter !== setter) add(spaceSetter);
    }
    if (isStroked || isOpen) {
      const { setter, spaceSetter } = state.stroke;
      add(setter);
      if (spaceSetter !== setter) add(spaceSetter);
    }
    if (kind === 'text' || isOpen) add(state.fontSetter);
    return found.length === 0 ? NO_SETTERS : found;
  }

  entersForm(form: Painted): boolean {
    return this.#mask !== 0 || form.level.isByProxy;
  }

  areaContent(area: number): AreaContent {
    const bit = 1 << area;
    const forms = new Map<PDFStream, StreamCut>();
    for (const [stream, record] of this.#forms) {
      const isShown = record.isWhole || ((this.#formMasks.get(stream) ?? 0) & bit) !== 0;
      if (isShown) forms.set(stream, record.cut(bit));
    }
    const images = new Map<PDFStream, ImageNeed>();
    for (const [stream, needs] of this.#images) {
      const need = needs[area];
      if (need !== undefined) images.set(stream, this.#hasTrouble ? { ...need, part: 'whole' } : need);
    }
    return { page: this.#page.cut(bit), forms, images };
  }

  #record(level: ContentLevel): StreamRecord {
    return level.stream === undefined ? this.#page : valueAt(this.#forms, level.stream);
  }

  #maskOf({ bounds, clip, level, text, state }: Painted): number {
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
    // Numbers too large to be real come from broken files: an object that cannot be placed may be anywhere.
    const isPlaced = [box.x0, box.y0, box.x1, box.y1].every((value) => !Number.isNaN(value));
    if (!isPlaced || level.isByProxy || state.ctm.some(Number.isNaN)) return -1;
    const shown = boxOverlap(box, clip);
    if (isBoxEmpty(shown)) return 0;
    let mask = 0;
    for (const [i, area] of this.#areas.entries()) if (isOverlapping(shown, area)) mask |= 1 << i;
    return mask;
  }

  /** The areas that show the form in which a pattern, mask or glyph paints. Other panels must not record it. */
  #maskAround(level: ContentLevel): number {
    let at: ContentLevel | undefined = level;
    while (at?.isByProxy) at = at.parent;
    return at?.stream === undefined ? -1 : (this.#formMasks.get(at.stream) ?? 0);
  }

  #needImage(stream: PDFStream, { level, clip, state }: Painted): void {
    const needs = this.#images.get(stream) ?? this.#areas.map(() => undefined);
    this.#images.set(stream, needs);
    const around = level.isByProxy ? this.#maskAround(level) : -1;
    for (const [i, area] of this.#areas.entries()) {
      if ((around & (1 << i)) === 0) continue;
      if (level.isByProxy || this.#record(level).isInText) {
        needs[i] = { part: 'whole', placement: state.ctm };
      }
      const known = needs[i];
      if (known?.part === 'whole' || (this.#mask & (1 << i)) === 0) continue;
      const part = unitPart(boxOverlap(area, clip), state.ctm);
      if (part === undefined) continue;
      if (part === 'whole' || known === undefined) needs[i] = { part, placement: state.ctm };
      else needs[i] = { ...known, part: boxUnion(known.part as SourceBox, part) };
    }
  }
}

/** The part of an image's unit square that a box of the page shows; `whole` where the matrix has no inverse. */
function unitPart(box: SourceBox, ctm: Matrix): SourceBox | 'whole' | undefined {
  const inverse = matrixInverse(ctm);
  if (inverse === undefined) return 'whole';
  return boxIntersection(boxTransformed(box, inverse), UNIT_SQUARE);
}
