/** Texts of the layouts, shown beside their figures. */
import { sideLines } from '../../core/job/door.ts';
import type { Printer, Side } from '../../core/job/schema.ts';
import { squareShare } from '../../core/layout/panel-edges.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { firstOf } from '../../core/measure/present.ts';
import type { PlanOffer } from '../../core/seams/plan-answer.ts';
import type { LimitBroken } from '../../core/seams/plan-limits.ts';
import { PLAN_AIMS } from '../../core/seams/plan-objective.ts';
import { AIM_NAMES } from '../../core/seams/plan-words.ts';
import { placeAcross } from '../../core/seams/seam-place.ts';
import type { SeamReason } from '../../core/seams/seam-reasons.ts';
import { JOINT_WORDS } from '../bench/seam-words.ts';
import { fineAreaText, moneyText, shareText } from '../parts/quantity-text.ts';

/** The display unit, and the printer whose feed error applies. */
export interface PlanUnits {
  readonly unit: 'mm' | 'in';
  readonly currency: string;
  readonly printer: Pick<Printer, 'feedErrorPercent' | 'rollWidthMm'>;
}

export type NamedItems = Pick<Side, 'noSeamAreas' | 'noFilmAreas' | 'bodyLines' | 'doors'>;

/** `Lowest cost, fewest panels`: all aims that a layout is best at. */
export function offerName({ id, aims }: Pick<PlanOffer, 'id' | 'aims'>): string {
  if (id === 'equal-vertical') return AIM_NAMES['equal-vertical'];
  if (aims.length === PLAN_AIMS.length) return `${AIM_NAMES['lowest-cost']}, and best in all else`;
  return aims.map((aim, index) => (index === 0 ? AIM_NAMES[aim] : AIM_NAMES[aim].toLowerCase())).join(', ');
}

/** `Vertical, 1930 mm from the left`, of a seam with shape `Horizontal, 820 mm to 870 mm from the top`. */
export function seamPlaceText({ place }: SeamReason['seam'], unit: 'mm' | 'in'): string {
  const { start, end } = placeAcross(place, { start: place.from, end: place.to });
  const [from, to] = [lengthText(start, unit), lengthText(end, unit)];
  const at = from === to ? from : `${from} to ${to}`;
  return place.axis === 'vertical' ? `Vertical, ${at} from the left` : `Horizontal, ${at} from the top`;
}

/** `25 mm printed overlap, left part on top` */
export function jointText({ place, joint }: SeamReason['seam'], unit: 'mm' | 'in'): string {
  const share = squareShare(place.path, { start: place.from, end: place.to });
  const overlap = lengthText((joint.first + joint.second) * share, unit);
  if (joint.kind !== 'lap') return `${JOINT_WORDS[joint.kind]}, film ${overlap} past it`;
  const parts = place.axis === 'vertical' ? ['left', 'right'] : ['upper', 'lower'];
  return `${overlap} printed overlap, ${joint.top === 'first' ? parts[0] : parts[1]} part on top`;
}

const LINE_WORDS = {
  crease: 'crease',
  molding: 'molding',
  'body-gap': 'body gap',
  'rivet-row': 'rivet row',
} as const;

export function hidingText(reason: SeamReason, side: NamedItems): string {
  const names = reason.lineIds.map((id) => {
    const line = sideLines(side).find((candidate) => candidate.id === id);
    return line ? `the ${LINE_WORDS[line.kind]} “${line.name}”` : id;
  });
  if (names.length === 0) return 'On no line: in open view.';
  const onLine = Object.values(reason.onlineShare).reduce((sum, share) => sum + share, 0);
  const isFollowing = reason.seam.place.path !== undefined;
  return `${isFollowing ? 'Follows' : 'On'} ${names.join(' and ')} for ${shareText(Math.min(1, onLine))} of its length; ${shareText(reason.hiddenShare)} hidden.`;
}

/** Extra film for the shape of a seam; empty where it is too little to show. */
export function shapeFilmText({ shapeFilmSquareMeters: more = 0 }: SeamReason, unit: 'mm' | 'in'): string {
  if (Math.abs(more) < 0.005) return '';
  return `Its shape takes ${fineAreaText(Math.abs(more), unit)} ${more > 0 ? 'more' : 'less'} film than a straight seam.`;
}

export function nextBestText(
  { seam, nextBest, isLocked, isFilmEdge }: SeamReason,
  { unit, currency }: PlanUnits,
): string {
  if (isFilmEdge) return 'Films meet here: it stays.';
  if (isLocked) return 'Locked: it stays.';
  if (!nextBest) return 'The limits leave no other place.';
  const { extraMoney } = nextBest;
  const at = `${seam.place.path ? 'Straight at' : 'At'} ${lengthText(nextBest.at, unit)}`;
  if (extraMoney === undefined) return `${at}, where its panels keep the limits`;
  const difference =
    Math.abs(extraMoney) < 0.005
      ? 'at the same cost'
      : `${moneyText(Math.abs(extraMoney), currency)} ${extraMoney > 0 ? 'more' : 'less'}`;
  return `${at}: ${difference}`;
}

/** The cost of a seam, item by item; zero items are left out. */
export function seamMoneyParts(
  { money }: SeamReason,
  currency: string,
): readonly (readonly [string, string])[] {
  const parts: readonly (readonly [string, number])[] = [
    ['Installing it', money.laying],
    ['Matching the picture', money.picture],
    ['Matching lettering', money.lettering],
    ['Trimming in the shop', money.shopTrim],
    ['Visible-seam penalty (not cash)', money.openView],
    ['Saved by ending on a line', money.lineSaved],
  ];
  return parts
    .filter(([, value]) => Math.abs(value) >= 0.005)
    .map(([name, value]) => [name, moneyText(value, currency)] as const);
}

/** Faults of a layout, one sentence per kind; frequent ones are counted. */
export function brokenTexts(
  broken: readonly LimitBroken[],
  side: NamedItems,
  unit: 'mm' | 'in',
): readonly string[] {
  const groups = Map.groupBy(broken, ({ limit, itemId }) => `${limit}/${itemId ?? ''}`);
  return [...groups.values()].map((same) => {
    const most = Math.max(...same.map(({ by }) => by ?? 0));
    return brokenText(firstOf(same), same.length, most, side, unit);
  });
}

/** A name with quotation marks in it, such as lettering, gets no others. */
const quoted = (name: string): string => (/[“”]/.test(name) ? name : `“${name}”`);

function brokenText(
  { limit, itemId }: LimitBroken,
  count: number,
  mostMm: number,
  side: NamedItems,
  unit: 'mm' | 'in',
): string {
  const items = [...side.noSeamAreas, ...side.noFilmAreas, ...sideLines(side)];
  const name = items.find(({ id }) => id === itemId)?.name ?? itemId ?? '';
  const panels = count === 1 ? '1 panel is' : `${count} panels are`;
  const by = lengthText(mostMm, unit);
  switch (limit) {
    case 'printable-width':
      return `${panels} wider than the roll prints, by up to ${by}.`;
    case 'longest-print':
      return `${panels} longer than the longest print, by up to ${by}.`;
    case 'longest-panel':
      return `${panels} longer than the crew’s longest panel, by up to ${by}.`;
    case 'rivet-row':
      return `${count === 1 ? 'A seam ends' : `${count} seams end`} film up to ${by} too near to the heads of ${quoted(name)}.`;
    case 'smallest-panel':
      return `${panels} smaller than the shop’s least panel, by up to ${by}.`;
    case 'no-seam-area':
      return `${count === 1 ? 'A seam cuts' : `${count} seams cut`} through ${quoted(name)}.`;
    case 'no-film-clearance':
      return `${count === 1 ? 'A seam ends' : `${count} seams end`} at the edge of ${quoted(name)}.`;
    case 'body-gap':
      return name === ''
        ? 'A body-gap seam where there is no body gap.'
        : `A panel continues across “${name}”.`;
    case 'film-edge':
      return count === 1
        ? 'A seam at which films meet is missing.'
        : `${count} seams at which films meet are missing.`;
    case 'locked-seam':
      return count === 1 ? 'A locked seam is missing.' : `${count} locked seams are missing.`;
  }
}
