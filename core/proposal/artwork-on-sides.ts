/**
 * Handles artwork that comes in after the vehicle: finds the parts of its pages by their sizes and words, and places
 * them on the sides without artwork. A side keeps its finished size, and with it its seams, lines and areas.
 *
 *     artworkOnSides(job, pages)   sides of 6000 × 2100 and 2200 × 2100 mm, a page of 600 × 210 mm
 *                                  → 1:10; the first side is on page 1; no page shows the second one
 */
import { guidePage } from '../guide/guide-page.ts';
import { editFinished } from '../job/edits/edit.ts';
import { roleOfSide } from '../job/edits/side-suggested.ts';
import type { Job, Side } from '../job/schema.ts';
import { drawnRectOfSize, sideOutline } from '../job/side-outline.ts';
import { storedFromRect } from '../job/stored-rect.ts';
import { lengthText } from '../measure/length-text.ts';
import type { Rect } from '../measure/rect.ts';
import { type Problem, type Result, resultOk } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import { REDUCTION_SCALES } from '../sheets/sheet-scale.ts';
import { artworkProposal } from './artwork-proposal.ts';
import type { PageSeen } from './page-seen.ts';
import { scaleText, usualScaleNear } from './scale-proposal.ts';
import type { SideProposal } from './side-proposal.ts';

export interface ArtworkOnSides {
  readonly job: Job;
  readonly placed: number;
  /** A sentence for each side and each part of a page without a match. */
  readonly remarks: readonly string[];
}

/**
 * Drawings state sides in round figures, so a part may differ this much from the size of its side. Common practice, no
 * source.
 */
const SIZE_SHARE = 0.02;
/** A page that is larger on purpose has exactly the expected size. */
const EXACT_SHARE = 0.002;
/** Nobody sees a smaller difference. */
const SAID_MM = 2;

export const sidesWithoutPage = ({ sides }: Pick<Job, 'sides'>): readonly Side[] =>
  sides.filter(({ page }) => page === undefined);

export function artworkOnSides(job: Job, pages: readonly PageSeen[]): Result<ArtworkOnSides, Problem> {
  const waiting = sidesWithoutPage(job);
  if (waiting.length === 0) return resultOk({ job, placed: 0, remarks: [] });
  const { scale: read, sides: parts } = artworkProposal(pages);
  // If other sides are already on the artwork, its scale is known.
  const scales =
    waiting.length < job.sides.length
      ? [job.scale]
      : [
          read.scale,
          ...read.others.map(({ scale }) => scale),
          ...scalesBySize(job, waiting, parts),
          ...REDUCTION_SCALES,
        ];
  const found = scales
    .map((scale) => ({ scale, parts: partsOfSides(job, waiting, parts, scale) }))
    .reduce((best, each) => (each.parts.size > best.parts.size ? each : best));
  const length = (mm: Mm) => lengthText(job.displayUnit === 'mm' ? Math.round(mm) : mm, job.displayUnit);
  const sizeText = ({ width, height }: Pick<Rect, 'width' | 'height'>) =>
    `${length(width)} × ${length(height)}`;
  const sides = job.sides.map((side) => {
    if (side.page !== undefined) return side;
    const size = drawnRectOfSize(sideOutline(side, job.scale), found.scale);
    const fit = found.parts.get(side.id);
    if (!fit) return { ...side, artworkRect: storedFromRect(size) };
    return { ...side, page: fit.part.page, artworkRect: storedFromRect(fit.place) };
  });
  const placed = editFinished(job, { ...job, scale: found.scale, sides });
  if (!placed.ok) return placed;
  const used = new Set([...found.parts.values()].map(({ part }) => part));
  return resultOk({
    job: placed.value,
    placed: used.size,
    remarks: [
      ...waiting.flatMap((side) => {
        const outline = sideOutline(side, job.scale);
        const fit = found.parts.get(side.id);
        if (!fit) {
          return [
            `${side.code} is on no page yet: no free part of the artwork is ${sizeText(outline)} at ${scaleText(found.scale)}.`,
          ];
        }
        if (fit.isAround) return [];
        const { part } = fit;
        const drawn = { width: part.rect.width * found.scale, height: part.rect.height * found.scale };
        const isSame =
          Math.abs(drawn.width - outline.width) < SAID_MM &&
          Math.abs(drawn.height - outline.height) < SAID_MM;
        if (isSame) return [];
        return [
          `${side.code} is ${sizeText(outline)}, and page ${part.page} shows ${sizeText(drawn)} of it: the side keeps its size, centered on that part.`,
        ];
      }),
      ...parts
        .filter((part) => !used.has(part))
        .map(
          ({ page, rect }) =>
            `A part of page ${page}, ${sizeText(rect)} as drawn, matches no side that waits for artwork.`,
        ),
    ],
  });
}

/** What a page may show: the side itself, the side with its bleed, or the page of its guide. */
const SHOWN = {
  side: (_: Side, outline: Rect) => ({ size: outline, at: { x: 0, y: 0 } }),
  bleed: ({ bleed }: Side, { width, height }: Rect) => ({
    size: { width: width + bleed.left + bleed.right, height: height + bleed.top + bleed.bottom },
    at: { x: bleed.left, y: bleed.top },
  }),
  guide: ({ bleed }: Side, outline: Rect, scale: number) => {
    const { widthMm, heightMm, trim } = guidePage(outline, bleed, scale);
    return {
      size: { width: widthMm * scale, height: heightMm * scale },
      at: { x: trim.x * scale, y: trim.y * scale },
    };
  },
} as const;

interface PartOfSide {
  readonly part: SideProposal;
  /** The side on its page. */
  readonly place: Rect<'drawn'>;
  /** Whether the part is larger than the side on purpose. */
  readonly isAround: boolean;
  readonly error: number;
}

/** How a part of a page shows a side; undefined where the sizes differ too much. */
function partOfSide(part: SideProposal, side: Side, outline: Rect, scale: number): PartOfSide | undefined {
  const ways = (['side', 'bleed', 'guide'] as const).flatMap((kind): PartOfSide[] => {
    const { size, at } = SHOWN[kind](side, outline, scale);
    const error = sizeError(part.rect, size, scale);
    if (error > (kind === 'side' ? SIZE_SHARE : EXACT_SHARE)) return [];
    const { x, y } = centered(drawnRectOfSize(size, scale), part.rect);
    const place = { ...drawnRectOfSize(outline, scale), x: x + at.x / scale, y: y + at.y / scale };
    return [{ part, place, error, isAround: kind !== 'side' }];
  });
  return ways.toSorted((a, b) => a.error - b.error)[0];
}

const centered = (size: Rect<'drawn'>, { x, y, width, height }: Rect<'drawn'>): Rect<'drawn'> => ({
  ...size,
  x: x + (width - size.width) / 2,
  y: y + (height - size.height) / 2,
});

/** Scales at which some part is as long as some side. */
const scalesBySize = (job: Job, sides: readonly Side[], parts: readonly SideProposal[]): number[] =>
  sides.flatMap((side) =>
    parts.map(({ rect }) => {
      const scale = sideOutline(side, job.scale).width / rect.width;
      return usualScaleNear(scale, SIZE_SHARE / 2) ?? scale;
    }),
  );

/** The matched parts, by the id of the side. The page's words for a part count for more than its size. */
function partsOfSides(
  job: Job,
  sides: readonly Side[],
  parts: readonly SideProposal[],
  scale: number,
): ReadonlyMap<string, PartOfSide> {
  const found = new Map<string, PartOfSide>();
  const taken = new Set<SideProposal>();
  for (const isOfRole of [true, false]) {
    for (const side of sides) {
      if (found.has(side.id)) continue;
      const role = roleOfSide(job, side);
      const outline = sideOutline(side, job.scale);
      const fit = parts
        .filter((each) => !taken.has(each))
        .filter((each) => (isOfRole ? each.role === role : each.roleFrom === 'order'))
        .flatMap((each) => partOfSide(each, side, outline, scale) ?? [])
        .toSorted((a, b) => a.error - b.error)[0];
      if (!fit) continue;
      found.set(side.id, fit);
      taken.add(fit.part);
    }
  }
  return found;
}

/** The larger relative error, in width or height, of a drawn part against a finished size. */
const sizeError = (rect: Rect, { width, height }: Pick<Rect, 'width' | 'height'>, scale: number): number =>
  Math.max(Math.abs((rect.width * scale) / width - 1), Math.abs((rect.height * scale) / height - 1));
