import type { Point, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/**
 * A drawing as data, before it is a page, a form or a preview. Everything is in millimeters:
 *
 *     (0, 0) ── x ──▶
 *       │                 core places everything; writers only convert units
 *       y
 *       ▼
 */
export interface Drawing {
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  /** Painted in order: later items cover earlier ones. */
  readonly items: readonly Item[];
}

export type Item =
  | LineItem
  | PolygonItem
  | RectItem
  | RectsItem
  | CircleItem
  | TextItem
  | PictureItem
  | StampItem;

interface Tagged {
  /** What the item is part of: a mark, a table, a block of a sheet. */
  readonly tag: string;
}

/** ISO 128-2 line widths. */
export type LineWidth = 0.13 | 0.18 | 0.25 | 0.35 | 0.5 | 0.7 | 1;

export interface Stroke {
  readonly widthMm: LineWidth;
  /** 0 is paper, 1 is black. */
  readonly black: number;
  /** Lengths of dash, gap, dash, gap… in mm; absent: a solid line. */
  readonly dashMm?: readonly Mm[];
}

/** A flat tint: 0 is paper, 1 is black. */
export interface Fill {
  readonly black: number;
}

export interface LineItem extends Tagged {
  readonly kind: 'line';
  readonly from: Point;
  readonly to: Point;
  readonly stroke: Stroke;
}

/** A closed shape, or an open polyline. */
export interface PolygonItem extends Tagged {
  readonly kind: 'polygon';
  readonly points: readonly Point[];
  readonly isOpen?: boolean;
  readonly fill?: Fill;
  readonly stroke?: Stroke;
}

export interface RectItem extends Tagged {
  readonly kind: 'rect';
  readonly rect: Rect;
  readonly fill?: Fill;
  readonly stroke?: Stroke;
}

/** Many rectangles painted as one shape, such as the modules of a code, so that no hairline shows between them. */
export interface RectsItem extends Tagged {
  readonly kind: 'rects';
  readonly rects: readonly Rect[];
  readonly fill: Fill;
}

export interface CircleItem extends Tagged {
  readonly kind: 'circle';
  readonly center: Point;
  readonly radiusMm: Mm;
  readonly fill?: Fill;
  readonly stroke?: Stroke;
}

export type FontRole = 'regular' | 'bold';
export type Anchor = 'start' | 'middle' | 'end';
/** Degrees counter-clockwise: at 90 the text reads from bottom to top. */
export type Turn = 0 | 90 | 180 | 270;

/** One line of text that has already been measured; it holds only characters that its fonts can draw. */
export interface TextItem extends Tagged {
  readonly kind: 'text';
  readonly text: string;
  readonly role: FontRole;
  /** Em size; a capital is CAP_HEIGHT of it. */
  readonly sizeMm: Mm;
  /** Position of the anchor on the base line. */
  readonly at: Point;
  readonly anchor: Anchor;
  readonly turn: Turn;
  readonly widthMm: Mm;
  readonly black: number;
}

/** Pixels row by row from the top left, three bytes each: red, green, blue. */
export interface RasterPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rgb: Uint8Array;
}

/** A picture may be on many pages, whole, in part or faint; the document stores its pixels once. */
export interface PictureItem extends Tagged {
  readonly kind: 'picture';
  /** Rectangle of the whole picture. */
  readonly rect: Rect;
  readonly picture: RasterPicture;
  /** Visible part; absent: all of it. */
  readonly clip?: Rect;
  /** Faint, as a background for lines and numbers: black lines stay readable even on black pixels. */
  readonly isFaint?: boolean;
}

/** The place of the document's stamp, see document-stamp.ts. */
export interface StampItem extends Tagged {
  readonly kind: 'stamp';
  /** Whether it is the large word across the page instead of the word in its box. */
  readonly isAcross?: boolean;
  readonly rect: Rect;
}

/** Relative to the em, measured on Noto Sans: height of a capital, room above the base line, room below it. */
export const CAP_HEIGHT = 0.714;
export const TEXT_ASCENT = 0.93;
export const TEXT_DESCENT = 0.26;
/** Distance between base lines, relative to the em. */
export const LINE_PITCH = 1.28;

export const THIN: Stroke = { widthMm: 0.25, black: 1 };
export const MEDIUM: Stroke = { widthMm: 0.35, black: 1 };
export const THICK: Stroke = { widthMm: 0.7, black: 1 };
export const PAPER: Fill = { black: 0 };
export const BLACK: Fill = { black: 1 };

/** Unit vector of the text direction for a turn, y down. */
export function turnDirection(turn: Turn): Point {
  switch (turn) {
    case 0:
      return { x: 1, y: 0 };
    case 90:
      return { x: 0, y: -1 };
    case 180:
      return { x: -1, y: 0 };
    case 270:
      return { x: 0, y: 1 };
  }
}

const anchorShift = { start: 0, middle: 0.5, end: 1 } as const;

/** Origin of the first glyph. */
export function textOrigin(item: TextItem): Point {
  const along = turnDirection(item.turn);
  const back = item.widthMm * anchorShift[item.anchor];
  return { x: item.at.x - along.x * back, y: item.at.y - along.y * back };
}
