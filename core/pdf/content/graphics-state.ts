import type { PDFDict } from 'pdf-lib';
import type { Matrix, SourceBox } from '../page/page-space.ts';
import { type ColorSpace, DEVICE_GRAY } from './color-space.ts';
import type { ContentLevel } from './content-level.ts';
import type { Font } from './font.ts';
import type { PatternInfo } from './pattern-info.ts';

/** An operator that set something; whatever depends on it can require it to stay. */
export interface Setter {
  readonly level: ContentLevel;
  readonly start: number;
}

/** The color that fills or strokes: its space, and the pattern where the space is Pattern. */
export interface Color {
  readonly space: ColorSpace;
  /** Components from the operands; empty for a pattern without a color. */
  readonly values: readonly number[];
  readonly pattern: PatternInfo | undefined;
  /**
   * The operator that set the components or the pattern, and the one that set the space; undefined for a page's initial
   * color.
   */
  readonly setter?: Setter | undefined;
  readonly spaceSetter?: Setter | undefined;
}

const BLACK: Color = { space: DEVICE_GRAY, values: [0], pattern: undefined };

/** A soft mask and the matrix in force when it was set, which places its group. */
export interface SoftMask {
  readonly dict: PDFDict;
  readonly ctm: Matrix;
}

/**
 * The part of the graphics state, ISO 32000-1, Tables 52 and 53, that decides where things are painted and with what
 * ink. Operators change one object; `copy` is what `q` saves.
 */
export class GraphicsState {
  ctm: Matrix;
  /** Bounds of all clips; painted things show only inside it. */
  clip: SourceBox;
  fill: Color = BLACK;
  stroke: Color = BLACK;
  lineWidth = 1;
  lineCap = 0;
  lineJoin = 0;
  miterLimit = 10;
  fillAlpha = 1;
  strokeAlpha = 1;
  blendMode = 'Normal';
  isFillOverprint = false;
  isStrokeOverprint = false;
  overprintMode = 0;
  softMask: SoftMask | undefined = undefined;
  hasTransfer = false;
  hasHalftone = false;
  font: Font | undefined = undefined;
  fontSetter: Setter | undefined = undefined;
  fontSize = 0;
  charSpace = 0;
  wordSpace = 0;
  /** Horizontal scaling; Tz 100 is 1. */
  widthScale = 1;
  leading = 0;
  rise = 0;
  /** Tr: 0 fills, 1 strokes, 2 both, 3 nothing; 4 to 7 do the same and clip. */
  renderMode = 0;

  constructor(ctm: Matrix, clip: SourceBox) {
    this.ctm = ctm;
    this.clip = clip;
  }

  copy(): GraphicsState {
    // Field by field: this runs at every `q`, and is ten times as fast as a general copy.
    const state = new GraphicsState(this.ctm, this.clip);
    state.fill = this.fill;
    state.stroke = this.stroke;
    state.lineWidth = this.lineWidth;
    state.lineCap = this.lineCap;
    state.lineJoin = this.lineJoin;
    state.miterLimit = this.miterLimit;
    state.fillAlpha = this.fillAlpha;
    state.strokeAlpha = this.strokeAlpha;
    state.blendMode = this.blendMode;
    state.isFillOverprint = this.isFillOverprint;
    state.isStrokeOverprint = this.isStrokeOverprint;
    state.overprintMode = this.overprintMode;
    state.softMask = this.softMask;
    state.hasTransfer = this.hasTransfer;
    state.hasHalftone = this.hasHalftone;
    state.font = this.font;
    state.fontSetter = this.fontSetter;
    state.fontSize = this.fontSize;
    state.charSpace = this.charSpace;
    state.wordSpace = this.wordSpace;
    state.widthScale = this.widthScale;
    state.leading = this.leading;
    state.rise = this.rise;
    state.renderMode = this.renderMode;
    return state;
  }

  /** The initial state of a form: the state of its caller, except what a transparency group resets. */
  forGroup(): GraphicsState {
    const state = this.copy();
    state.blendMode = 'Normal';
    state.fillAlpha = 1;
    state.strokeAlpha = 1;
    state.softMask = undefined;
    return state;
  }
}
