/** Finds the page of a corrected artwork with the side that was on a given page of the old artwork. */
import { MM_PER_INCH } from '../measure/units.ts';
import { picturesCompared } from '../verify/picture-comparison.ts';
import { type PixelWindow, SideGrid } from '../verify/side-grid.ts';
import type { VerificationPicture } from '../verify/verification-picture.ts';
import { objectChanges } from './object-changes.ts';
import type { PageObjects } from './page-objects.ts';

export interface PagesToMatch {
  /** The objects of pages in both artworks; undefined where there is no such page. */
  objectsOf(
    before: number,
    after: number,
  ): Promise<{ readonly before: PageObjects; readonly after: PageObjects } | undefined>;
  /** Draws the side as it was, and as it would be on a page of the corrected artwork. */
  draw(
    page: number,
    grid: SideGrid,
    window: PixelWindow,
  ): Promise<readonly [VerificationPicture, VerificationPicture] | undefined>;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** With at least this share of common objects it is the same page, unless another has more. */
const CERTAIN_SHARE = 0.5;
/** Longer edge in pixels: enough to recognize a drawing. */
const KNOWN_AGAIN_PX = 96;
/** In levels. Pages of one vehicle share their background, so another page must look much more alike. */
const LIKE_MEAN = 8;
const MUCH_MORE_LIKE = 0.35;

/** Undefined where no page of the corrected artwork can be it. */
export async function likeliestPage(
  page: number,
  pageCount: number,
  pages: PagesToMatch,
): Promise<number | undefined> {
  const numbers = Array.from({ length: pageCount }, (_, i) => i + 1);
  const isThere = page <= pageCount;
  if (isThere && pageCount === 1) return page;
  const ownShare = await sharedObjects(page, page, pages);
  // Pages of a fleet differ only in a number, so having almost everything in common does not identify the page.
  if (ownShare === 1) return page;
  const others = numbers.filter((number) => number !== page);
  let nearest = { page, share: ownShare };
  for (const other of others) {
    const share = await sharedObjects(page, other, pages);
    // Sides of one vehicle are often alike: a page that matches its own old content better is not this side.
    if (share > nearest.share && share > (await sharedObjects(other, other, pages)))
      nearest = { page: other, share };
  }
  if (nearest.share >= CERTAIN_SHARE) return nearest.page;
  const own = isThere ? await unlikeness(page, pages) : Number.POSITIVE_INFINITY;
  if (own <= LIKE_MEAN) return page;
  let best: { readonly page: number; readonly mean: number } | undefined;
  for (const other of others) {
    const mean = await unlikeness(other, pages);
    if (mean < (best?.mean ?? Number.POSITIVE_INFINITY)) best = { page: other, mean };
  }
  if (best && best.mean <= LIKE_MEAN && best.mean <= MUCH_MORE_LIKE * own) return best.page;
  return isThere ? page : undefined;
}

async function sharedObjects(pageBefore: number, pageAfter: number, pages: PagesToMatch): Promise<number> {
  const objects = await pages.objectsOf(pageBefore, pageAfter);
  if (!objects) return 0;
  const { before, after } = objects;
  const most = Math.max(before.prints.length, after.prints.length);
  return most === 0 ? 0 : objectChanges(before, after).pairs.length / most;
}

async function unlikeness(page: number, pages: PagesToMatch): Promise<number> {
  const { widthMm, heightMm } = pages;
  const grid = new SideGrid((KNOWN_AGAIN_PX * MM_PER_INCH) / Math.max(widthMm, heightMm));
  const window = grid.around({ x: 0, y: 0, width: widthMm, height: heightMm });
  const pictures = await pages.draw(page, grid, window);
  return pictures ? picturesCompared(...pictures, window).mean : Number.POSITIVE_INFINITY;
}
