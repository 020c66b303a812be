/** What a walk through a page's content reports. */
import type { PDFObject, PDFRef, PDFStream } from 'pdf-lib';
import type { PdfProblem } from '../file/pdf-problem.ts';
import type { Matrix, SourceBox } from '../page/page-space.ts';
import type { ColorSpace } from './color-space.ts';
import type { ContentLevel } from './content-level.ts';
import type { Font } from './font.ts';
import type { GraphicsState } from './graphics-state.ts';
import type { OperationReader } from './operation-reader.ts';
import type { Subpath } from './subpath.ts';

export interface ImageInfo {
  readonly ref: PDFRef | undefined;
  /** Undefined for an inline image. */
  readonly stream: PDFStream | undefined;
  readonly width: number;
  readonly height: number;
  readonly bitsPerComponent: number;
  /** Whether it is a stencil, which is painted in the fill color and has no color itself. */
  readonly isStencil: boolean;
  /** Undefined for stencils, and where neither the dictionary nor the JPEG 2000 data state it. */
  readonly space: ColorSpace | undefined;
  /** Full names of the codings, in the order in which they are undone. */
  readonly filters: readonly string[];
  /** Pixels of the soft mask, where it has one. */
  readonly softMask: { readonly width: number; readonly height: number } | undefined;
}

/** A placed glyph: where its origin and its advance are, in text space at the operator's start. */
export interface PlacedGlyph {
  readonly code: number;
  readonly text: string | undefined;
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

export interface PaintedText {
  readonly font: Font;
  readonly size: number;
  /** Maps text space to the page's default user space. */
  readonly matrix: Matrix;
  /** Empty unless the visitor `wantsGlyphs`. */
  readonly glyphs: readonly PlacedGlyph[];
}

export type PaintedKind = 'path' | 'text' | 'image' | 'inline-image' | 'shading' | 'form';

/** One painted object. It and its state are valid only during the call that reports it. */
export interface Painted {
  readonly kind: PaintedKind;
  readonly level: ContentLevel;
  /** Byte range of its operators in that stream; for a path, from its first construction operator on. */
  readonly start: number;
  readonly end: number;
  /** Whether these bytes contain nothing that later operators rely on. */
  readonly isSelfContained: boolean;
  /** Extents in the page's default user space including line widths, before clipping; never too small. */
  readonly bounds: SourceBox;
  /** Bounds of the clip in force. */
  readonly clip: SourceBox;
  /** Whether its layers show it when the file opens. */
  readonly isVisible: boolean;
  /** The layers that it belongs to, groups and membership dictionaries, outermost first. */
  readonly layers: readonly PDFObject[];
  readonly isFilled: boolean;
  readonly isStroked: boolean;
  readonly state: GraphicsState;
  /** The outline of a path, where the visitor `wantsOutlines`. */
  readonly outline: readonly Subpath[] | undefined;
  readonly image: ImageInfo | undefined;
  readonly text: PaintedText | undefined;
  /** The color space of `sh`, and its shading. */
  readonly shadingSpace: ColorSpace | undefined;
  readonly shading: PDFObject | undefined;
  /** The form XObject or image stream that `Do` paints. */
  readonly object: PDFStream | undefined;
  readonly ref: PDFRef | undefined;
}

export type ResourceCategory =
  | 'ExtGState'
  | 'ColorSpace'
  | 'Pattern'
  | 'Shading'
  | 'XObject'
  | 'Font'
  | 'Properties';

/** The calls that a walk makes. Each is optional; parts of the content that no call needs are not walked. */
export interface ContentVisitor {
  onPainted?(painted: Painted): void;
  /** Called before a form's content; false skips the content. */
  entersForm?(form: Painted): boolean;
  onFormLeft?(form: Painted): void;
  /**
   * Called for every operator with its range, before it takes effect; the name is '' for unknown ones. `reader` has its
   * operands.
   */
  onOperator?(name: string, start: number, end: number, level: ContentLevel, reader: OperationReader): void;
  /** Called for every look-up of a resource by an operator. */
  onResourceUsed?(
    category: ResourceCategory,
    name: string,
    start: number,
    end: number,
    level: ContentLevel,
  ): void;
  /** Called for a name that an operator looks up without finding anything usable. */
  onResourceMissing?(category: ResourceCategory, name: string): void;
  onStreamBegun?(level: ContentLevel, content: Uint8Array | undefined): void;
  onStreamEnded?(level: ContentLevel): void;
  /** Called where part of the content cannot be read and is skipped. */
  onTrouble?(problem: PdfProblem, level: ContentLevel): void;
  readonly wantsGlyphs?: boolean;
  readonly wantsOutlines?: boolean;
  readonly entersPatterns?: boolean;
  readonly entersSoftMasks?: boolean;
  readonly entersGlyphs?: boolean;
}
