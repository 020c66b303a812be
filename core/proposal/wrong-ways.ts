/** Signs that an artwork is wrong, reported when it comes in, before any film is printed. */
import type { ScannedLine } from '../checks/scan/schema.ts';
import { pairsOf } from '../measure/pairs.ts';
import { itemAt } from '../measure/present.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import { type ContactKind, contactDifferences } from './contact-text.ts';
import { mirroredLines } from './mirrored-shapes.ts';
import type { PageSeen } from './page-seen.ts';
import { type ScaleProposal, scaleText } from './scale-proposal.ts';
import { frontEdgeSeen, linesOfSide, type SideProposal, type SideRole } from './side-proposal.ts';

export interface WrongWay {
  readonly code:
    | 'front-at-wrong-end'
    | 'lettering-mirrored'
    | 'outlines-mirrored'
    | 'page-on-both-sides'
    | 'contact-differs'
    | 'scale-differs';
  /** What and where, and what to do: two sentences. */
  readonly message: string;
  readonly remedy: string;
}

export interface NamedSide extends SideProposal {
  readonly name: string;
}

export function wrongWays(
  pages: readonly PageSeen[],
  sides: readonly NamedSide[],
  scale: ScaleProposal,
): readonly WrongWay[] {
  const lines = sides.map((side) => linesOfSide(pages, side, sides));
  const letters = pairsOf(sides, lines).map(([side, own]) => own.filter(({ area }) => isOn(area, side.rect)));
  return [
    ...scaleDiffers(scale),
    ...pairsOf(sides, lines).flatMap(([side, own]) => frontAtWrongEnd(side, own)),
    ...pairsOf(sides, letters).flatMap(([side, own]) => letteringMirrored(side, own)),
    ...outlinesMirrored(pages, sides),
    ...pageOnBothSides(pages, sides),
    ...contactsDiffer(sides, letters),
  ];
}

const isOn = (area: Rect, side: Rect): boolean => rectIntersection(area, side) !== undefined;

/** Only statements on the pages count: a vehicle of plausible size at another scale is no contradiction. */
function scaleDiffers({ scale, evidence, others }: ScaleProposal): readonly WrongWay[] {
  const other = others.find((read) => read.evidence.kind !== 'vehicle');
  if (evidence.kind === 'vehicle' || !other || other.evidence.kind === 'vehicle') return [];
  return [
    {
      code: 'scale-differs',
      message: `“${evidence.text}” on page ${evidence.page} makes the scale ${scaleText(scale)}, but “${other.evidence.text}” on page ${other.evidence.page} makes it ${scaleText(other.scale)}.`,
      remedy: 'Measure one length on the vehicle, and compare it with the finished size.',
    },
  ];
}

const FRONT_OF: Partial<Record<SideRole, 'left' | 'right'>> = { left: 'left', right: 'right' };

function frontAtWrongEnd(side: NamedSide, lines: readonly ScannedLine[]): readonly WrongWay[] {
  const [meant, seen] = [FRONT_OF[side.role], frontEdgeSeen(side.rect, lines)];
  if (!meant || !seen || meant === seen) return [];
  return [
    {
      code: 'front-at-wrong-end',
      message: `Page ${side.page} shows the front of the vehicle at its ${seen} edge, but the front of the ${inSentence(side.name)} is at the ${meant}.`,
      remedy: 'Select the side that this page shows, or ask the designer which way the vehicle drives.',
    },
  ];
}

function letteringMirrored(side: NamedSide, letters: readonly ScannedLine[]): readonly WrongWay[] {
  const mirrored = letters.filter(
    ({ isMirrored, text }) => isMirrored === true && /[\p{L}\p{N}]/u.test(text),
  );
  const [first] = mirrored;
  if (!first) return [];
  const others = mirrored.length > 1 ? ` and ${mirrored.length - 1} more` : '';
  return [
    {
      code: 'lettering-mirrored',
      message: `The lettering “${first.text}”${others} on page ${side.page} is mirrored: it reads backward on the ${inSentence(side.name)}.`,
      remedy:
        'Ask the designer for a page with lettering that reads forward. Film for the inside of glass is mirrored on purpose.',
    },
  ];
}

/** Shapes alone do not tell which of the two reads backward. */
function outlinesMirrored(pages: readonly PageSeen[], sides: readonly NamedSide[]): readonly WrongWay[] {
  const [left, right] = (['left', 'right'] as const).map((role) => sides.find((side) => side.role === role));
  if (!left || !right) return [];
  const shapesOf = ({ page, rect }: NamedSide) =>
    (pages.find(({ number }) => number === page)?.shapes ?? []).filter(({ area }) => isOn(area, rect));
  const count = mirroredLines(shapesOf(left), shapesOf(right));
  if (count === 0) return [];
  const lines = count === 1 ? 'A line' : `${count} lines`;
  return [
    {
      code: 'outlines-mirrored',
      message: `${lines} of what looks like outlined lettering on page ${left.page} ${count === 1 ? 'stands' : 'stand'} mirrored on page ${right.page}: on one of both sides ${count === 1 ? 'it reads' : 'they read'} backward.`,
      remedy:
        'Look at the lettering of both sides, and ask the designer for a page on which it reads forward. Pictures may be mirrored.',
    },
  ];
}

/** Whether two pages paint the same at the same places, within a thousandth of their width. */
function isSamePicture(pages: readonly PageSeen[], a: NamedSide, b: NamedSide): boolean {
  const [first, second] = [a, b].map((side) => partSeen(pages, side));
  if (!first || !second || first.length === 0 || first.length !== second.length) return false;
  const near = Math.max(a.rect.width, b.rect.width) / 1000;
  return first.every((item, index) => {
    const other = itemAt(second, index);
    return (
      item.text === other.text &&
      (['x', 'y', 'width', 'height'] as const).every((key) => Math.abs(item.at[key] - other.at[key]) <= near)
    );
  });
}

function partSeen(pages: readonly PageSeen[], { page, rect }: NamedSide) {
  const seen = pages.find(({ number }) => number === page);
  if (!seen) return undefined;
  const placed = (area: Rect) => ({
    x: area.x - rect.x,
    y: area.y - rect.y,
    width: area.width,
    height: area.height,
  });
  return [
    ...seen.lettering
      .filter(({ area }) => isOn(area, rect))
      .map(({ text, area }) => ({ text, at: placed(area) })),
    ...seen.painted.filter((area) => isOn(area, rect)).map((area) => ({ text: '', at: placed(area) })),
  ];
}

function pageOnBothSides(pages: readonly PageSeen[], sides: readonly NamedSide[]): readonly WrongWay[] {
  const [left, right] = (['left', 'right'] as const).map((role) => sides.find((side) => side.role === role));
  if (!left || !right) return [];
  const isOne = left.page === right.page && JSON.stringify(left.rect) === JSON.stringify(right.rect);
  if (!isOne && !isSamePicture(pages, left, right)) return [];
  return [
    {
      code: 'page-on-both-sides',
      message: isOne
        ? `Page ${left.page} is used for both sides: on one of them, what it shows at the front is at the rear.`
        : `Pages ${left.page} and ${right.page} show the same picture: on one of the sides, what it shows at the front is at the rear.`,
      remedy:
        'Unless the design has no front, ask the designer for artwork of the opposite side, with lettering that reads forward.',
    },
  ];
}

const KINDS: Readonly<Record<ContactKind, string>> = {
  phone: 'phone number',
  web: 'web address',
  mail: 'mail address',
};

function contactsDiffer(
  sides: readonly NamedSide[],
  letters: readonly (readonly ScannedLine[])[],
): readonly WrongWay[] {
  const texts = letters.map((lines) => lines.map(({ text }) => text));
  return contactDifferences(texts).map(({ kind, first, second }) => ({
    code: 'contact-differs',
    message: `The ${KINDS[kind]} differs: “${first.text}” on the ${inSentence(itemAt(sides, first.side).name)}, “${second.text}” on the ${inSentence(itemAt(sides, second.side).name)}.`,
    remedy: 'Ask the customer which one is right before anything is printed.',
  }));
}

/** `Driver side` in the middle of a sentence. */
const inSentence = (name: string): string => name.slice(0, 1).toLowerCase() + name.slice(1);
