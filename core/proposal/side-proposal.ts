/** Finds which parts of an artwork's pages are sides of the vehicle, and which sides they are. */
import type { ScannedLine } from '../checks/scan/schema.ts';
import { type Rect, rectArea, rectBottom, rectHull, rectIntersection, rectRight } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { PageSeen } from './page-seen.ts';

/** The role of a side on the vehicle; left and right as seen by the driver, facing forward. */
export const SIDE_ROLES = ['left', 'right', 'rear', 'front', 'roof', 'hood', 'other'] as const;
export type SideRole = (typeof SIDE_ROLES)[number];

export interface SideProposal {
  readonly page: number;
  readonly rect: Rect<'drawn'>;
  readonly role: SideRole;
  /** The evidence for the role: words on the page, a FRONT label, or only its size and place in the row. */
  readonly roleFrom: 'words' | 'front' | 'order';
}

export interface PagePart {
  readonly page: number;
  readonly rect: Rect<'drawn'>;
}

/** A part of a page with less than this share of its width or height is not a side. */
const LEAST_SHARE = 0.4;
/** On a page with several sides, one object paints at least this share of a side's rectangle. */
const GROUND_SHARE = 0.8;
/** Unprinted space between two sides, as a share of the longer edge of the page. */
const APART_SHARE = 0.01;
const WHOLE_SHARE = 0.97;

/**
 * The parts of a page that are sides: the finished page where the file states one; else the separate parts on the paper
 * with a background of their own; else the whole page.
 */
export function pageParts(page: PageSeen): readonly PagePart[] {
  if (page.finished) return [{ page: page.number, rect: page.finished }];
  const parts = partsOnPaper(page);
  return (parts.length > 0 ? parts : [page.extent]).map((rect) => ({ page: page.number, rect }));
}

function partsOnPaper({ extent, painted }: PageSeen): readonly Rect<'drawn'>[] {
  const seen = painted.flatMap((rect) => rectIntersection(rect, extent) ?? []);
  const groups = groupsApart(seen, APART_SHARE * Math.max(extent.width, extent.height));
  const parts = groups
    .filter(({ rect, members }) => {
      const isLarge = rect.width >= LEAST_SHARE * extent.width || rect.height >= LEAST_SHARE * extent.height;
      return isLarge && members.some((member) => rectArea(member) >= GROUND_SHARE * rectArea(rect));
    })
    .map(({ rect }) => rect);
  const isWholePage = parts.some(
    ({ width, height }) => width >= WHOLE_SHARE * extent.width && height >= WHOLE_SHARE * extent.height,
  );
  const share = parts.reduce((sum, rect) => sum + rectArea(rect), 0) / rectArea(extent);
  return isWholePage || share < LEAST_SHARE ? [] : parts.toSorted((a, b) => a.y - b.y || a.x - b.x);
}

interface Group {
  readonly rect: Rect<'drawn'>;
  readonly members: readonly Rect<'drawn'>[];
}

/** Groups rectangles that touch, or are closer to each other than `apart`. */
function groupsApart(rects: readonly Rect<'drawn'>[], apart: Mm): readonly Group[] {
  let groups: readonly Group[] = [];
  for (const rect of rects) {
    let joined: Group = { rect, members: [rect] };
    let others = groups;
    // A group that has grown may touch one that it did not touch before.
    for (;;) {
      const touching = others.filter((group) => isNear(group.rect, joined.rect, apart));
      if (touching.length === 0) break;
      joined = touching.reduce(
        (sum, group) => ({
          rect: rectHull(sum.rect, group.rect),
          members: [...sum.members, ...group.members],
        }),
        joined,
      );
      others = others.filter((group) => !touching.includes(group));
    }
    groups = [...others, joined];
  }
  return groups;
}

const isNear = (a: Rect, b: Rect, apart: Mm): boolean =>
  a.x - rectRight(b) < apart &&
  b.x - rectRight(a) < apart &&
  a.y - rectBottom(b) < apart &&
  b.y - rectBottom(a) < apart;

/** A side with a smaller ratio of length to height than this is a rear or a front. */
const LONG_SHAPE = 1.6;

/** The role of each part. `pages` supply the words. */
export function sidesProposed(
  pages: readonly PageSeen[],
  parts: readonly PagePart[],
): readonly SideProposal[] {
  const seen = parts.map((part): PagePart & Partial<SideProposal> => {
    const lines = pages.find(({ number }) => number === part.page)?.lettering ?? [];
    const near = lines.filter(({ area }) => isNearest(part, area, parts));
    const ofWords = near.map(({ text, area }) => roleInWords(text, isOutside(area, part.rect))).find(Boolean);
    if (ofWords) return { ...part, role: ofWords, roleFrom: 'words' };
    const front = frontEdgeSeen(part.rect, near);
    return front ? { ...part, role: front, roleFrom: 'front' } : part;
  });
  const taken = new Set(seen.flatMap(({ role }) => role ?? []));
  const longest = Math.max(0, ...parts.map(({ rect }) => rect.width));
  const free = (roles: readonly SideRole[]): SideRole => {
    const role = roles.find((each) => !taken.has(each)) ?? 'other';
    taken.add(role);
    return role;
  };
  return seen.map(({ page, rect, role, roleFrom = 'order' }): SideProposal => {
    if (role) return { page, rect, role, roleFrom };
    const isLong = rect.width >= LONG_SHAPE * rect.height && rect.width >= longest / 2;
    return {
      page,
      rect,
      role: free(isLong ? ['left', 'right', 'roof'] : ['rear', 'front', 'hood']),
      roleFrom,
    };
  });
}

const ROLE_WORDS: readonly (readonly [SideRole, RegExp])[] = [
  ['left', /\b(?:left|driver(?:['’]?s)?|street|near)[\s-]*(?:hand[\s-]*)?side\b/i],
  ['right', /\b(?:right|passenger(?:['’]?s)?|curb|off)[\s-]*(?:hand[\s-]*)?side\b/i],
  ['left', /^\s*(?:LHS?|DS|SS|left|driver)\s*$/i],
  ['right', /^\s*(?:RHS?|PS|CS|right|passenger)\s*$/i],
  ['rear', /^\s*(?:rear|back)(?:\s+(?:view|side|door|doors))?\s*$|\brear (?:view|doors?)\b/i],
  ['front', /\bfront view\b|^\s*front side\s*$/i],
  ['roof', /^\s*roof(?:\s+view)?\s*$|\broof view\b/i],
  ['hood', /^\s*(?:hood|bonnet)(?:\s+view)?\s*$/i],
];
/** Words between separators, as in the slug of a page: `Outreach trailer · Rear · finished 2,200 × 2,300 mm`. */
const SLUG_SIGNS = /\s*[·|•;,–—]\s*|\s-\s/;
/** How many letters identify a word that a scan has cut off. */
const CUT_OFF: readonly (readonly [SideRole, RegExp])[] = [
  ['left', /^left\s*…$/i],
  ['right', /^(?:righ|right)\s*…$/i],
];

/** Inside a side, only words that name a side in full count: `left` may be part of a slogan. */
function roleInWords(text: string, isOutside: boolean): SideRole | undefined {
  const named = ROLE_WORDS.slice(0, 2).find(([, words]) => words.test(text));
  if (named) return named[0];
  if (!isOutside) return undefined;
  const pieces = text.split(SLUG_SIGNS);
  return [...ROLE_WORDS, ...CUT_OFF].find(([, words]) => pieces.some((piece) => words.test(piece)))?.[0];
}

const isOutside = (area: Rect, side: Rect): boolean => rectIntersection(area, side) === undefined;

/** Words belong to the part that contains them, or else to the nearest one of the page. */
function isNearest(part: PagePart, area: Rect, parts: readonly PagePart[]): boolean {
  const others = parts.filter(({ page }) => page === part.page);
  const nearest = others.toSorted((a, b) => distance(a.rect, area) - distance(b.rect, area))[0];
  return nearest === part;
}

function distance(a: Rect, b: Rect): Mm {
  const across = Math.max(0, a.x - rectRight(b), b.x - rectRight(a));
  const down = Math.max(0, a.y - rectBottom(b), b.y - rectBottom(a));
  return Math.hypot(across, down);
}

const FRONT_WORD =
  /^\s*(?:[←◀<]+\s*)?(?:front|forward|fwd)(?:\s+of\s+(?:vehicle|trailer|van|truck|bus))?(?:\s*(?:[→▶>]+|-+>))?\s*$/i;
const REAR_WORD = /^\s*(?:rear|back)\s*$/i;

/**
 * The edge at which a page says that the front is; on the left side that is the left edge. Undefined where the page
 * does not say.
 */
export function frontEdgeSeen(side: Rect, lines: readonly ScannedLine[]): 'left' | 'right' | undefined {
  for (const { text, area } of lines) {
    const isFront = FRONT_WORD.test(text);
    if (!isFront && !REAR_WORD.test(text)) continue;
    if (isFront && /[←◀<]/.test(text)) return 'left';
    if (isFront && /[→▶>]/.test(text)) return 'right';
    const share = (area.x + area.width / 2 - side.x) / side.width;
    const edge = share < 1 / 3 ? 'left' : share > 2 / 3 ? 'right' : undefined;
    // `REAR` in the middle names the side; at one edge it means that the front is at the other.
    if (edge) return isFront === (edge === 'left') ? 'left' : 'right';
  }
  return undefined;
}

/** Lines on a side, or nearer to it than to another side of its page. */
export const linesOfSide = (
  pages: readonly PageSeen[],
  side: PagePart,
  sides: readonly PagePart[],
): readonly ScannedLine[] =>
  (pages.find(({ number }) => number === side.page)?.lettering ?? []).filter(({ area }) =>
    isNearest(side, area, sides),
  );
