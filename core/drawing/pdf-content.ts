import { type Mm, ptFromMm } from '../measure/units.ts';
import type { Drawing, Fill, Item, PictureItem, StampItem, Stroke, TextItem } from './drawing.ts';

/** How a writer puts text, pictures and stamps on the page, which need resources of the document. */
export interface ContentPainter {
  /** Operators that paint one line of text at its origin and turn; the color is already set. */
  text(item: TextItem, page: PageUnits): string;
  /** Name of a resource that fills a square of one unit: an image, or the form of a stamp. */
  square(item: PictureItem | StampItem): string;
  /** Name of a graphics state that is partly transparent. */
  veil(): string;
}

/** Converts drawing millimeters to the unit of a page or form with its origin at the bottom left. */
export interface PageUnits {
  x(mm: Mm): string;
  y(mm: Mm): string;
  length(mm: Mm): string;
}

/**
 * Color space for black: `gray` for sheets, `black-plate` (DeviceCMYK, K alone) for marks on film, where gray would be
 * built from four inks.
 */
export type BlackKind = 'gray' | 'black-plate';

/** Operators for a whole drawing, for the content stream of a page or a form. */
export function contentFromDrawing(
  drawing: Drawing,
  unit: 'pt' | 'mm',
  black: BlackKind,
  painter: ContentPainter,
): string {
  const length = (mm: Mm) => numberText(unit === 'pt' ? ptFromMm(mm) : mm);
  const page: PageUnits = { x: length, y: (mm) => length(drawing.heightMm - mm), length };
  return drawing.items.map((item) => `q\n${itemOperators(item, page, black, painter)}\nQ`).join('\n');
}

function itemOperators(item: Item, page: PageUnits, black: BlackKind, painter: ContentPainter): string {
  switch (item.kind) {
    case 'line':
      return [
        strokeOperators(item.stroke, page, black),
        `${page.x(item.from.x)} ${page.y(item.from.y)} m ${page.x(item.to.x)} ${page.y(item.to.y)} l S`,
      ].join('\n');
    case 'rect':
      return painted(rectPath(item.rect, page), item, page, black);
    case 'rects':
      return painted(item.rects.map((rect) => rectPath(rect, page)).join('\n'), item, page, black);
    case 'polygon': {
      const points = item.points.map((p, i) => `${page.x(p.x)} ${page.y(p.y)} ${i === 0 ? 'm' : 'l'}`);
      return painted(`${points.join(' ')}${item.isOpen ? '' : ' h'}`, item, page, black);
    }
    case 'circle':
      return painted(circlePath(item, page), item, page, black);
    case 'text':
      return `${grayOperator(item.black, black, false)}\n${painter.text(item, page)}`;
    case 'picture':
      return [
        item.clip ? `${rectPath(item.clip, page)} W n` : '',
        `q ${squareOperators(item, page, painter)} Q`,
        item.isFaint ? `/${painter.veil()} gs\n${painted(rectPath(item.rect, page), VEIL, page, black)}` : '',
      ]
        .filter(Boolean)
        .join('\n');
    case 'stamp':
      return squareOperators(item, page, painter);
  }
}

const VEIL: { readonly fill: Fill } = { fill: { black: 0 } };

function squareOperators(item: PictureItem | StampItem, page: PageUnits, painter: ContentPainter): string {
  const { x, y, width, height } = item.rect;
  return `${page.length(width)} 0 0 ${page.length(height)} ${page.x(x)} ${page.y(y + height)} cm /${painter.square(item)} Do`;
}

function painted(
  path: string,
  look: { readonly fill?: Fill; readonly stroke?: Stroke },
  page: PageUnits,
  black: BlackKind,
): string {
  const operator = look.fill && look.stroke ? 'B' : look.fill ? 'f' : look.stroke ? 'S' : 'n';
  return [
    look.fill ? grayOperator(look.fill.black, black, false) : '',
    look.stroke ? strokeOperators(look.stroke, page, black) : '',
    path,
    operator,
  ]
    .filter(Boolean)
    .join('\n');
}

function rectPath(rect: { x: Mm; y: Mm; width: Mm; height: Mm }, page: PageUnits): string {
  return `${page.x(rect.x)} ${page.y(rect.y + rect.height)} ${page.length(rect.width)} ${page.length(rect.height)} re`;
}

/** Distance of a Bézier's control points from its ends, relative to the radius, for a quarter circle. */
const QUARTER_CIRCLE = 0.5522847498;

function circlePath(item: Extract<Item, { kind: 'circle' }>, page: PageUnits): string {
  const { center, radiusMm: r } = item;
  const k = r * QUARTER_CIRCLE;
  const p = (dx: Mm, dy: Mm) => `${page.x(center.x + dx)} ${page.y(center.y + dy)}`;
  return [
    `${p(r, 0)} m`,
    `${p(r, k)} ${p(k, r)} ${p(0, r)} c`,
    `${p(-k, r)} ${p(-r, k)} ${p(-r, 0)} c`,
    `${p(-r, -k)} ${p(-k, -r)} ${p(0, -r)} c`,
    `${p(k, -r)} ${p(r, -k)} ${p(r, 0)} c h`,
  ].join('\n');
}

function strokeOperators(stroke: Stroke, page: PageUnits, black: BlackKind): string {
  const dash = stroke.dashMm ? `\n[${stroke.dashMm.map((mm) => page.length(mm)).join(' ')}] 0 d` : '';
  return `${grayOperator(stroke.black, black, true)}\n${page.length(stroke.widthMm)} w${dash}`;
}

function grayOperator(amount: number, black: BlackKind, isStroke: boolean): string {
  if (black === 'gray') return `${numberText(1 - amount)} ${isStroke ? 'G' : 'g'}`;
  return `0 0 0 ${numberText(amount)} ${isStroke ? 'K' : 'k'}`;
}

/** A number in PDF syntax: no exponent, to a thousandth. */
export function numberText(value: number): string {
  const text = value.toFixed(3).replace(/\.?0+$/, '');
  return text === '-0' || text === '' ? '0' : text;
}
