/** Proposes the scale of an artwork, from statements on its pages or else from the possible sizes of a vehicle. */
import type { ScannedLine } from '../checks/scan/schema.ts';
import { decimalText } from '../measure/length-text.ts';
import { itemAt } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { lengthsStated, scaleStated } from './dimension-text.ts';
import type { PageSeen } from './page-seen.ts';

/**
 * The evidence for a scale, strongest first: words, both lengths of a side, the two ends of a scale bar, a dimension
 * line with its figure, one length of a side, and last the possible sizes of a vehicle.
 */
export type ScaleEvidence =
  | {
      readonly kind: 'stated' | 'size' | 'bar' | 'line' | 'length';
      readonly page: number;
      readonly text: string;
    }
  | { readonly kind: 'vehicle' };

export interface ScaleRead {
  readonly scale: number;
  readonly evidence: ScaleEvidence;
}

export interface ScaleProposal extends ScaleRead {
  /** Other scales with some evidence, each once. */
  readonly others: readonly ScaleRead[];
}

/**
 * Usual scales of vehicle artwork, likeliest first: of ISO 5455, and of an architect's scale (1" = 1' is 1:12). Common
 * practice, no source for the order.
 */
export const USUAL_SCALES = [10, 20, 1, 5, 2, 12, 4, 25, 24, 8, 16, 50, 48, 32, 100] as const;

const STRENGTH = ['stated', 'size', 'bar', 'line', 'length', 'vehicle'] as const;

/**
 * Limits for a side of a vehicle, from a small van to the longest trailer and the tallest body; common practice, no
 * source.
 */
const LEAST_SIDE = { long: 2000, high: 1000 };
const MOST_SIDE = { long: 18_500, high: 4200 };

/** How far a stated length may differ from the drawn one, because sides are stated in round figures. */
const SIZE_SHARE = 0.01;
const LENGTH_SHARE = 0.004;
/** Labels are near the ends of a bar, but not exactly there. */
const BAR_SHARE = 0.06;

/** `sides` are the rectangles of the sides on the pages, in page order. */
export function scaleProposal(
  pages: readonly PageSeen[],
  sides: readonly { readonly page: number; readonly rect: Rect<'drawn'> }[],
): ScaleProposal {
  const read = [
    ...pages.flatMap((page) =>
      pageScales(
        page,
        sides.filter((side) => side.page === page.number),
      ),
    ),
    ...vehicleScales(sides.map(({ rect }) => rect)),
  ].toSorted((a, b) => STRENGTH.indexOf(a.evidence.kind) - STRENGTH.indexOf(b.evidence.kind));
  const [best = { scale: 10, evidence: { kind: 'vehicle' as const } }, ...others] = read;
  const seen: ScaleRead[] = [best];
  for (const other of others) if (!seen.some(({ scale }) => isNear(scale, other.scale))) seen.push(other);
  return { ...best, others: seen.slice(1) };
}

const isNear = (a: number, b: number): boolean => Math.abs(a / b - 1) < 0.005;

/** Separators in a line of words: `Outreach trailer, drawn at 1:10 · Left side`. */
const PIECE_SIGNS = /\s*[·|•;]\s*/;

function pageScales(page: PageSeen, sides: readonly { readonly rect: Rect<'drawn'> }[]): ScaleRead[] {
  return page.lettering.flatMap((line) =>
    line.text.split(PIECE_SIGNS).flatMap((text): ScaleRead[] => {
      const of = (kind: Exclude<ScaleEvidence['kind'], 'vehicle'>, scale: number | undefined): ScaleRead[] =>
        scale === undefined ? [] : [{ scale, evidence: { kind, page: page.number, text: text.trim() } }];
      const lengths = lengthsStated(text).map(({ mm }) => mm);
      return [
        ...of('stated', scaleStated(text)),
        ...sides.flatMap(({ rect }) => of('size', sizeScale(lengths, rect))),
        ...of('bar', barScale(line, page.lettering)),
        ...of('line', lineScale(line, lengths, page.painted)),
        ...sides.flatMap(({ rect }) => of('length', lengthScale(lengths, rect))),
      ];
    }),
  );
}

/** Two successive lengths that are the width and height of a side at one scale. */
function sizeScale(lengths: readonly Mm[], { width, height }: Rect): number | undefined {
  for (const [index, first] of lengths.slice(0, -1).entries()) {
    const [across, down] = [first / width, itemAt(lengths, index + 1) / height];
    if (across >= 1 - SIZE_SHARE && Math.abs(across / down - 1) <= SIZE_SHARE) {
      return usualScaleNear(across, SIZE_SHARE) ?? across;
    }
  }
  return undefined;
}

/** One length that is the width or the height of a side at a usual scale. */
function lengthScale(lengths: readonly Mm[], { width, height }: Rect): number | undefined {
  const found = lengths.flatMap((length) => [length / width, length / height]);
  return found.flatMap((scale) => usualScaleNear(scale, LENGTH_SHARE) ?? []).find((scale) => scale > 1);
}

/** The label at the end of a bar with a `0` at its other end: `0 … 1 m`. */
function barScale(label: ScannedLine, lines: readonly ScannedLine[]): number | undefined {
  const [length] = lengthsStated(label.text);
  if (!length?.isUnitGiven || length.mm <= 0 || lengthsStated(label.text).length > 1) return undefined;
  const zero = lines.find(
    ({ text, area, sizeMm }) =>
      text.trim() === '0' &&
      Math.abs(middle(area).y - middle(label.area).y) < sizeMm &&
      area.x < label.area.x,
  );
  if (!zero) return undefined;
  const distances = [middle(label.area).x - middle(zero.area).x, label.area.x - zero.area.x];
  return distances.flatMap((distance) => usualScaleNear(length.mm / distance, BAR_SHARE) ?? [])[0];
}

/** A figure on the middle of a thin line, or just above or below it, states the length of the line. */
function lineScale(
  { area, sizeMm }: ScannedLine,
  lengths: readonly Mm[],
  painted: readonly Rect<'drawn'>[],
): number | undefined {
  const [length, ...more] = lengths;
  if (length === undefined || more.length > 0) return undefined;
  const { x, y } = middle(area);
  for (const rect of painted) {
    const isThin = rect.height <= sizeMm * 1.5 && rect.width >= 8 * rect.height && rect.width > area.width;
    const isAtLine =
      Math.abs(middle(rect).y - y) <= 2 * sizeMm && Math.abs(middle(rect).x - x) <= rect.width * 0.1;
    const scale = isThin && isAtLine ? usualScaleNear(length / rect.width, SIZE_SHARE) : undefined;
    if (scale !== undefined) return scale;
  }
  return undefined;
}

const middle = ({ x, y, width, height }: Rect) => ({ x: x + width / 2, y: y + height / 2 });

export function usualScaleNear(scale: number, share: number): number | undefined {
  return USUAL_SCALES.find((usual) => Math.abs(scale / usual - 1) <= share);
}

/** The usual scales at which all sides have the size of a vehicle's side. */
function vehicleScales(sides: readonly Rect[]): ScaleRead[] {
  if (sides.length === 0) return [];
  const longest = Math.max(...sides.map(({ width }) => width));
  const highest = Math.max(...sides.map(({ height }) => height));
  return USUAL_SCALES.filter(
    (scale) =>
      longest * scale >= LEAST_SIDE.long &&
      longest * scale <= MOST_SIDE.long &&
      highest * scale >= LEAST_SIDE.high &&
      highest * scale <= MOST_SIDE.high,
  ).map((scale) => ({ scale, evidence: { kind: 'vehicle' } }));
}

/** `1:10`, `1:12.5` */
export const scaleText = (scale: number): string => `1:${decimalText(scale, 4)}`;

/** The reason for the scale: one sentence without its period. */
export function evidenceText(evidence: ScaleEvidence): string {
  switch (evidence.kind) {
    case 'stated':
      return `page ${evidence.page} says “${evidence.text}”`;
    case 'size':
    case 'length':
      return `page ${evidence.page} gives the size “${evidence.text}”`;
    case 'bar':
      return `page ${evidence.page} has a scale bar of “${evidence.text}”`;
    case 'line':
      return `page ${evidence.page} has a dimension line of “${evidence.text}”`;
    case 'vehicle':
      return 'it makes a vehicle of a usual size; the pages say nothing of their scale';
  }
}
