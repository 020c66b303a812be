/**
 * Artwork that comes in after the vehicle: the parts of its pages are found by their sizes and what stands on them, and
 * placed on the sides that wait for artwork. A side keeps its finished size, and with it its seams, lines and areas.
 *
 *     artworkOnSides(job, pages)   sides of 6000 × 2100 and 2200 × 2100 mm, a page of 600 × 210 mm
 *                                  → 1:10; the first side is on page 1; no page shows the second one
 */
import { editFinished } from '../job/edits/edit.ts';
import { roleOfSide } from '../job/edits/side-suggested.ts';
import type { Job, Side } from '../job/schema.ts';
import { drawnRectOfSize, sideOutline } from '../job/side-outline.ts';
import { storedFromRect } from '../job/stored-rect.ts';
import { lengthText } from '../measure/length-text.ts';
import type { Rect } from '../measure/rect.ts';
import { type Problem, type Result, resultOk } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import { artworkProposal } from './artwork-proposal.ts';
import type { PageSeen } from './page-seen.ts';
import { scaleText, usualScaleNear } from './scale-proposal.ts';
import type { SideProposal } from './side-proposal.ts';

export interface ArtworkOnSides {
  readonly job: Job;
  readonly placed: number;
  /** A sentence for each side and each part of a page that does not match. */
  readonly remarks: readonly string[];
}

/** Drawings state sides in round figures: so far may a part be off the size of its side. Common practice, no source. */
const SIZE_SHARE = 0.02;
/** What is off by less, nobody sees. */
const SAID_MM = 2;

export const sidesWithoutPage = ({ sides }: Pick<Job, 'sides'>): readonly Side[] =>
  sides.filter(({ page }) => page === undefined);

export function artworkOnSides(job: Job, pages: readonly PageSeen[]): Result<ArtworkOnSides, Problem> {
  const waiting = sidesWithoutPage(job);
  if (waiting.length === 0) return resultOk({ job, placed: 0, remarks: [] });
  const { scale: read, sides: parts } = artworkProposal(pages);
  // Where other sides lie on the artwork already, its scale is settled.
  const scales =
    waiting.length < job.sides.length
      ? [job.scale]
      : [read.scale, ...read.others.map(({ scale }) => scale), ...scalesBySize(job, waiting, parts)];
  const found = scales
    .map((scale) => ({ scale, parts: partsOfSides(job, waiting, parts, scale) }))
    .reduce((best, each) => (each.parts.size > best.parts.size ? each : best));
  const length = (mm: Mm) => lengthText(job.displayUnit === 'mm' ? Math.round(mm) : mm, job.displayUnit);
  const sizeText = ({ width, height }: Pick<Rect, 'width' | 'height'>) =>
    `${length(width)} × ${length(height)}`;
  const sides = job.sides.map((side) => {
    if (side.page !== undefined) return side;
    const size = drawnRectOfSize(sideOutline(side, job.scale), found.scale);
    const part = found.parts.get(side.id);
    if (!part) return { ...side, artworkRect: storedFromRect(size) };
    return { ...side, page: part.page, artworkRect: storedFromRect(centered(size, part.rect)) };
  });
  const placed = editFinished(job, { ...job, scale: found.scale, sides });
  if (!placed.ok) return placed;
  const used = new Set(found.parts.values());
  return resultOk({
    job: placed.value,
    placed: used.size,
    remarks: [
      ...waiting.flatMap((side) => {
        const outline = sideOutline(side, job.scale);
        const part = found.parts.get(side.id);
        if (!part) {
          return [
            `${side.code} is on no page yet: no free part of the artwork is ${sizeText(outline)} at ${scaleText(found.scale)}.`,
          ];
        }
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

/** By the id of the side. What a page says that a part is counts for more than the size. */
function partsOfSides(
  job: Job,
  sides: readonly Side[],
  parts: readonly SideProposal[],
  scale: number,
): ReadonlyMap<string, SideProposal> {
  const found = new Map<string, SideProposal>();
  const taken = new Set<SideProposal>();
  for (const isOfRole of [true, false]) {
    for (const side of sides) {
      if (found.has(side.id)) continue;
      const role = roleOfSide(job, side);
      const outline = sideOutline(side, job.scale);
      const part = parts
        .filter((each) => !taken.has(each) && sizeError(each.rect, outline, scale) <= SIZE_SHARE)
        .filter((each) => (isOfRole ? each.role === role : each.roleFrom === 'order'))
        .toSorted((a, b) => sizeError(a.rect, outline, scale) - sizeError(b.rect, outline, scale))[0];
      if (!part) continue;
      found.set(side.id, part);
      taken.add(part);
    }
  }
  return found;
}

/** The larger share of width and height that a drawn part is off a finished size. */
const sizeError = (rect: Rect, { width, height }: Rect, scale: number): number =>
  Math.max(Math.abs((rect.width * scale) / width - 1), Math.abs((rect.height * scale) / height - 1));
