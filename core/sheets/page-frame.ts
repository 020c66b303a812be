import { BLACK, type Drawing, type Item, TEXT_ASCENT, THICK, THIN } from '../drawing/drawing.ts';
import { linesHeight, styleOf, textFitted, textLine, textLines, textWrapped } from '../drawing/text-block.ts';
import type { Job } from '../job/schema.ts';
import { vehicleText } from '../job/vehicles.ts';
import { present } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { outputText, reprintText } from '../output/output-mark.ts';
import { dateText } from '../shop/date-text.ts';
import { qrCode, qrItem, sheetCodeText } from './qr-code.ts';
import { keepLongText, type SheetContext } from './sheet-context.ts';
import { ROUNDING_NOTE } from './sheet-length.ts';
import type { SheetSize } from './sheet-size.ts';
import { stampAcross, stampItem } from './verdict-stamp.ts';

/** One printed page: a drawing with its title and sheet size. */
export interface Sheet extends Drawing {
  readonly title: string;
}

/** The head of a page. */
export interface PageHead {
  readonly title: string;
  /** `SCALE 1:50` */
  readonly scale?: string;
  /** The edge toward the front of the vehicle. */
  readonly travel?: 'left' | 'right';
}

/** A page while it is being filled. */
export interface PageDraft {
  readonly head: PageHead;
  readonly items: Item[];
}

const HEAD_MM: Mm = 15;
const TITLE_BLOCK_MM: Mm = 24;
const GAP_MM: Mm = 3;

/** Area for blocks: between the head and the title block. */
export function bodyRect({ widthMm, heightMm, marginMm, bandMm = 0 }: SheetSize): Rect {
  const y = marginMm + HEAD_MM + bandMm + GAP_MM;
  return {
    x: marginMm,
    y,
    width: widthMm - 2 * marginMm,
    height: heightMm - marginMm - TITLE_BLOCK_MM - GAP_MM - y,
  };
}

/** Subject of the sheets in the title block. */
export interface SheetSubject {
  /** Who issues the sheets: the shop. */
  readonly owner: string;
  readonly customer: string;
  /** Printed before the title of the page. */
  readonly name?: string;
  readonly number: string;
  readonly unit: string;
}

/** Adds head and title block to all pages once their number is known. Without `subject` they are about one job. */
export function sheetsFromDrafts(
  context: SheetContext,
  documentType: string,
  drafts: readonly PageDraft[],
  subject: SheetSubject = jobSubject(context.job),
): Sheet[] {
  const { size } = context;
  return drafts.map((draft, index) => ({
    title: draft.head.title,
    widthMm: size.widthMm,
    heightMm: size.heightMm,
    items: [
      ...draft.items,
      ...headItems(context, draft.head),
      ...reprintBand(context),
      ...titleBlock(context, documentType, draft.head, `${index + 1} of ${drafts.length}`, subject),
      ...(context.hasStamp ? [stampAcross(context.fonts, pageRect(size))] : []),
    ],
  }));
}

const jobSubject = ({ shop, customer, name, number, vehicles }: Job): SheetSubject => ({
  owner: ownerText(shop),
  customer,
  name,
  number,
  unit: vehicleText({ vehicles }),
});

/** The shop with its address and phone; if empty, room to write it. */
export const ownerText = (shop: Job['shop']): string =>
  shop ? [shop.name, shop.address, shop.phone].filter(Boolean).join(', ') : '';

function headItems(context: SheetContext, head: PageHead): Item[] {
  const { fonts, size } = context;
  const left = size.marginMm;
  const right = size.widthMm - size.marginMm;
  const baseline = size.marginMm + 10.5;
  const items: Item[] = [];
  let titleEnd = right;
  if (head.travel) {
    const travel = travelItems(context, head.travel, right, baseline);
    items.push(...travel.items);
    titleEnd = travel.left - 6;
  }
  if (context.hasStamp) {
    const stamp = stampItem(fonts, { at: { x: titleEnd, y: baseline - 5.65 }, anchor: 'end' }, 'head stamp');
    items.push(stamp);
    titleEnd = stamp.rect.x - 6;
  }
  if (head.scale) {
    const scale = textLine(fonts, head.scale, styleOf('bold', 6.5), {
      at: { x: titleEnd, y: baseline },
      anchor: 'end',
      tag: 'head scale',
    });
    items.push(scale);
    titleEnd -= scale.widthMm + 6;
  }
  const title = textFitted(fonts, head.title, styleOf('bold', 10), titleEnd - left, 5);
  if (title) {
    // A text cut short in the head is complete in the title block.
    items.push(textLine(fonts, title.text, title.style, { at: { x: left, y: baseline }, tag: 'head title' }));
  }
  const ruleY = size.marginMm + HEAD_MM;
  items.push({
    kind: 'line',
    tag: 'head rule',
    from: { x: left, y: ruleY },
    to: { x: right, y: ruleY },
    stroke: THICK,
  });
  return items;
}

/** A long arrow to the front of the vehicle; it points the way the vehicle drives. */
function travelItems(
  { fonts }: SheetContext,
  front: 'left' | 'right',
  right: Mm,
  baseline: Mm,
): { readonly items: Item[]; readonly left: Mm } {
  const word = textLine(fonts, 'FRONT: DRIVES THIS WAY', styleOf('bold', 5), {
    at: { x: right, y: baseline - 1 },
    anchor: 'end',
    tag: 'head travel',
  });
  const arrowMm = 30;
  const middle = baseline - 2.6;
  const wordLeft = right - word.widthMm;
  const arrow = (tail: Mm): Item => arrowItem(tail, middle, arrowMm, front);
  if (front === 'left') return { items: [arrow(wordLeft - 3), word], left: wordLeft - 3 - arrowMm };
  const moved = { ...word, at: { ...word.at, x: right - arrowMm - 3 } };
  return { items: [moved, arrow(right - arrowMm)], left: wordLeft - arrowMm - 3 };
}

/** A block arrow from its tail. */
export function arrowItem(tailX: Mm, middleY: Mm, lengthMm: Mm, to: 'left' | 'right', sizeMm: Mm = 7): Item {
  const way = to === 'left' ? -1 : 1;
  const neck = lengthMm - sizeMm;
  const outline: readonly (readonly [Mm, Mm])[] = [
    [0, -sizeMm * 0.16],
    [neck, -sizeMm * 0.16],
    [neck, -sizeMm * 0.45],
    [lengthMm, 0],
    [neck, sizeMm * 0.45],
    [neck, sizeMm * 0.16],
    [0, sizeMm * 0.16],
  ];
  return {
    kind: 'polygon',
    tag: 'travel',
    points: outline.map(([x, y]) => ({ x: tailX + way * x, y: middleY + y })),
    fill: BLACK,
  };
}

/** White on black over the width of the page, so that a reprint is never mistaken for the first output. */
function reprintBand(context: SheetContext): Item[] {
  const { fonts, size, output } = context;
  const { bandMm = 0, marginMm } = size;
  if (!output?.reprint) return [];
  const tag = 'reprint band';
  const rect = { x: marginMm, y: marginMm + HEAD_MM, width: size.widthMm - 2 * marginMm, height: bandMm };
  const { reason } = output.reprint;
  const what = reprintText(output, context.job.dateOrder);
  const text = reason ? `${what} · ${reason}` : what;
  const style = { ...styleOf('bold', 5), black: 0 };
  const fitted = present(textFitted(fonts, text, style, rect.width - 4, 3.5), 'The text of a reprint');
  if (fitted.isCut) keepLongText(context, 'Reason of the reprint', reason);
  const baseline = rect.y + rect.height / 2 + fitted.style.sizeMm * 0.36;
  return [
    { kind: 'rect', tag, rect, fill: BLACK },
    textLine(fonts, fitted.text, fitted.style, { at: { x: rect.x + 2, y: baseline }, tag }),
  ];
}

const pageRect = ({ widthMm, heightMm, marginMm }: SheetSize): Rect => ({
  x: marginMm,
  y: marginMm,
  width: widthMm - 2 * marginMm,
  height: heightMm - 2 * marginMm,
});

interface Field {
  readonly caption: string;
  readonly text: string;
  readonly share: number;
}

/**
 * The mandatory fields of ISO 7200, plus customer, vehicle, length notation and layout revision, and a code with the
 * same data.
 */
function titleBlock(
  context: SheetContext,
  documentType: string,
  head: PageHead,
  sheet: string,
  { owner, customer, name, number, unit }: SheetSubject,
): Item[] {
  const { job, size, revision, output } = context;
  // Fields for the crew come first, those for the office last.
  const rows: readonly (readonly Field[])[] = [
    [
      { caption: 'Vehicle', text: unit, share: 0.2 },
      { caption: 'Title', text: name ? `${name} · ${head.title}` : head.title, share: 0.33 },
      { caption: 'Number', text: number, share: 0.15 },
      { caption: 'Sheet', text: sheet, share: 0.1 },
      { caption: 'Layout', text: revision ?? '', share: 0.09 },
      { caption: 'Output', text: output ? outputText(output) : '', share: 0.13 },
    ],
    [
      { caption: 'Owner', text: owner, share: 0.24 },
      { caption: 'Customer', text: customer, share: 0.2 },
      { caption: 'Document type', text: documentType, share: 0.13 },
      { caption: 'Lengths', text: ROUNDING_NOTE[job.displayUnit].replace('Lengths ', ''), share: 0.15 },
      { caption: 'Creator', text: job.preparedBy, share: 0.1 },
      { caption: 'Approval', text: '', share: 0.07 },
      { caption: 'Date of issue', text: dateText(job.date, job.dateOrder), share: 0.11 },
    ],
  ];
  const top = size.heightMm - size.marginMm - TITLE_BLOCK_MM;
  const width = size.widthMm - 2 * size.marginMm - TITLE_BLOCK_MM;
  const height = TITLE_BLOCK_MM / rows.length;
  const codeX = size.marginMm + width;
  const code = qrItem(
    qrCode(sheetCodeText(job, documentType, sheet, { revision, output })),
    codeX,
    top,
    TITLE_BLOCK_MM,
    'title block code',
  );
  const frame: Rect = { x: codeX, y: top, width: TITLE_BLOCK_MM, height: TITLE_BLOCK_MM };
  const codeItems: Item[] = [{ kind: 'rect', tag: 'title block code', rect: frame, stroke: THIN }, code];
  const fields = rows.flatMap((row, rowIndex) => {
    let x = size.marginMm;
    return row.flatMap((field) => {
      const rect = { x, y: top + rowIndex * height, width: field.share * width, height };
      x += rect.width;
      return field.caption === 'Owner' ? ownerItems(context, field, rect) : fieldItems(context, field, rect);
    });
  });
  return [...fields, ...codeItems];
}

/** The logo of the shop is before its name, in a third of the field at most. */
function ownerItems(context: SheetContext, field: Field, rect: Rect): Item[] {
  const { logo } = context;
  if (!logo) return fieldItems(context, field, rect);
  const pad = 1.2;
  const scale = Math.min((rect.height - 2 * pad) / logo.heightPx, (rect.width / 3 - pad) / logo.widthPx);
  const [width, height] = [logo.widthPx * scale, logo.heightPx * scale];
  const place = { x: rect.x + pad, y: rect.y + (rect.height - height) / 2, width, height };
  const taken = width + pad;
  const texts = fieldTexts(context, field, { ...rect, x: rect.x + taken, width: rect.width - taken });
  return [
    fieldFrame(field, rect),
    { kind: 'picture', tag: 'title block logo', rect: place, picture: logo },
    ...texts,
  ];
}

const fieldItems = (context: SheetContext, field: Field, rect: Rect): Item[] => [
  fieldFrame(field, rect),
  ...fieldTexts(context, field, rect),
];

const fieldTag = ({ caption }: Field): string => `title block ${caption}`;

const fieldFrame = (field: Field, rect: Rect): Item => ({
  kind: 'rect',
  tag: fieldTag(field),
  rect,
  stroke: THIN,
});

function fieldTexts(context: SheetContext, field: Field, rect: Rect): Item[] {
  const { fonts } = context;
  const tag = fieldTag(field);
  const pad = 1.2;
  const room = rect.width - 2 * pad;
  const captionSize = 2.4;
  const captionAt = { x: rect.x + pad, y: rect.y + 0.3 + captionSize * TEXT_ASCENT };
  const items: Item[] = [
    textLine(fonts, field.caption, styleOf('regular', captionSize), { at: captionAt, tag }),
  ];
  const top = rect.y + 0.3 + linesHeight(1, captionSize);
  const valueRoom = rect.y + rect.height - top - 0.2;
  for (const [sizeMm, count] of [
    [5.4, 1],
    [4.4, 1],
    [3.4, 2],
  ] as const) {
    const style = styleOf('bold', sizeMm);
    const { lines, isCut } = textWrapped(fonts, field.text, style, room, count);
    if (isCut && count === 1) continue;
    if (isCut) keepLongText(context, field.caption, field.text);
    const y = top + (valueRoom - linesHeight(lines.length, sizeMm)) / 2;
    items.push(...textLines(fonts, lines, style, { at: { x: rect.x + pad, y }, tag }));
    break;
  }
  return items;
}
