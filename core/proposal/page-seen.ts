/** The input of a proposal: a page of an artwork, as far as it was scanned. */
import type { PageScan, ScannedLine, ScannedShapes } from '../checks/scan/schema.ts';
import type { StoredRect } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { PageBox } from '../measure/page-box.ts';
import type { Rect } from '../measure/rect.ts';

export interface PageSeen {
  readonly number: number;
  /** The whole page. */
  readonly extent: Rect<'drawn'>;
  /** The finished page where the file states one; absent where it does not, or was not read yet. */
  readonly finished?: Rect<'drawn'>;
  readonly lettering: readonly ScannedLine[];
  /** Shapes that look like lettering in a picture of the page; empty until the picture was scanned. */
  readonly shapes?: readonly ScannedShapes[];
  /** Bounds of what is painted, except white. */
  readonly painted: readonly Rect<'drawn'>[];
}

type SeenScan = Pick<PageScan, 'statedBoxes' | 'boxes' | 'lettering' | 'shapes' | 'paint'>;

/** All pages of an artwork, as a screen or a command has read them. */
export const pagesSeen = (facts: {
  readonly pages: readonly { readonly number: number; readonly extent: StoredRect }[];
  readonly scan?: { readonly pages: readonly (SeenScan & { readonly number: number })[] } | undefined;
}): readonly PageSeen[] =>
  facts.pages.map(({ number, extent }) =>
    pageSeen(
      { number, extent: rectFromStored<'drawn'>(extent) },
      facts.scan?.pages.find((page) => page.number === number),
    ),
  );

function pageSeen(
  page: { readonly number: number; readonly extent: Rect<'drawn'> },
  scan: SeenScan | undefined,
): PageSeen {
  const stated = (['trim', 'art'] as const).find((box) => isSmaller(scan, box, page.extent));
  const finished = stated && scan?.boxes[stated];
  return {
    ...page,
    ...(finished && { finished }),
    lettering: scan?.lettering ?? [],
    ...(scan?.shapes && { shapes: scan.shapes }),
    painted: scan?.paint.areas.filter(({ isWhite }) => !isWhite).map(({ area }) => area) ?? [],
  };
}

/** A stated box as large as the page tells nothing. */
function isSmaller(scan: SeenScan | undefined, box: PageBox, { width, height }: Rect): boolean {
  const stated = scan?.statedBoxes.includes(box) ? scan.boxes[box] : undefined;
  return stated !== undefined && (stated.width < width * 0.999 || stated.height < height * 0.999);
}
