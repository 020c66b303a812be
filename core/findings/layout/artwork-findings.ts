/** Checks that the artwork covers what the sides need, at the size of the vehicle. */

import type { Job, Side } from '../../job/schema.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import { decimalText } from '../../measure/length-text.ts';
import { listText } from '../../measure/list-text.ts';
import { EDGES, isRectWithin, rectExcess, rectIntersection } from '../../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { photoSideSize } from '../../vehicle/photo-place.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import { edgesText, type FindingFacts, jobLengthText, type SideContext } from './finding-context.ts';

/** Findings about the artwork as a whole. Keeps ARF5 and VEH3. */
export function artworkFindings(job: Job, facts: FindingFacts): Finding[] {
  if (!job.artwork) {
    return [finding('artwork-none', 'stop', {}, 'The job has no artwork yet.', 'Import the artwork PDF.')];
  }
  if (facts.artworkSha256 === undefined || facts.artworkSha256 === job.artwork.sha256) return [];
  return [
    finding(
      'artwork-changed',
      'stop',
      {},
      `The artwork file “${job.artwork.fileName}” is not the one that was imported: its content has changed.`,
      'Import the new file as artwork of this job and check the sides again, or put the old file back.',
    ),
  ];
}

/** Findings about one side's place on its page and its measured size. */
export function sideArtworkFindings(context: SideContext): Finding[] {
  return [...pageFindings(context), ...measuredFindings(context), ...bleedFindings(context)];
}

/** Keeps ARF3. */
function pageFindings({ job, side, layout, facts, length }: SideContext): Finding[] {
  if (side.page === undefined) {
    // A job without artwork has one finding about that already.
    if (!job.artwork) return [];
    return [
      finding(
        'side-on-no-page',
        'stop',
        { sideId: side.id },
        `Side ${side.code} is on no page of the artwork yet.`,
        'In the figures of the side, select the page that shows it and place its rectangle there.',
      ),
    ];
  }
  if (!facts.pages) return [];
  const page = facts.pages.get(side.page);
  if (!page) {
    const count = facts.pages.size;
    return [
      finding(
        'page-missing',
        'stop',
        { sideId: side.id, page: side.page },
        `Side ${side.code} is drawn on page ${side.page}, but the artwork has ${count === 1 ? 'one page' : `${count} pages`}.`,
        'Select the page that shows this side, or import the complete artwork.',
      ),
    ];
  }
  if (!layout.artwork || isRectWithin(layout.outline, layout.artwork)) return [];
  const where = { sideId: side.id, page: side.page };
  if (!rectIntersection(layout.outline, layout.artwork)) {
    return [
      finding(
        'side-off-page',
        'stop',
        where,
        `Side ${side.code} lies wholly outside page ${side.page}, which is ${length(page.width)} × ${length(page.height)} as drawn.`,
        'Place the side on the artwork again.',
      ),
    ];
  }
  const excess = rectExcess(layout.outline, layout.artwork);
  const edges = EDGES.filter((edge) => excess[edge] > 0);
  const amounts = listText(edges.map((edge) => `${length(excess[edge] / job.scale)} at the ${edge}`));
  return [
    finding(
      'side-beyond-page',
      'stop',
      where,
      `Side ${side.code} reaches beyond page ${side.page}: ${amounts}, as drawn.`,
      `Pull the ${edgesText(edges)} of the side back onto the page, or ask for complete artwork.`,
    ),
  ];
}

/** Error of a size read from a photo, in % of the side's length: core/vehicle/photo-place.ts, measured in its tests. */
const PHOTO_ERROR_PERCENT = 0.5;

/**
 * Compares the drawing with the measured size, or with the photo where nothing was measured. If width and height are
 * off by the same share, the scale is wrong. If the shares differ, the drawing shows another vehicle or was stretched.
 * Keeps SC3 and SC4.
 */
function measuredFindings({ job, side, layout, length }: SideContext): Finding[] {
  const seen = side.photo ? photoSideSize(side.photo) : {};
  const { widthMm = seen.widthMm, heightMm = seen.heightMm } = side.measured ?? {};
  if (widthMm === undefined && heightMm === undefined) return [];
  const { outline } = layout;
  const isByPhoto = widthMm !== side.measured?.widthMm || heightMm !== side.measured?.heightMm;
  const limit = job.limits.maxProportionErrorPercent + (isByPhoto ? PHOTO_ERROR_PERCENT : 0);
  const how = isByPhoto ? 'measured on the photo, an estimate' : 'measured';
  const confirm = isByPhoto ? 'Confirm the size by tape.' : '';
  const errorOf = (drawn: Mm, measured: Mm | undefined) =>
    measured === undefined ? undefined : 100 * (drawn / measured - 1);
  // Where only one was measured, the other is assumed to be off by the same share.
  const widthError = errorOf(outline.width, widthMm) ?? errorOf(outline.height, heightMm) ?? 0;
  const heightError = errorOf(outline.height, heightMm) ?? widthError;
  const where = { sideId: side.id };
  const measuredText = [widthMm ?? '–', heightMm ?? '–']
    .map((mm) => (typeof mm === 'number' ? length(mm) : mm))
    .join(' × ');
  const figures = `${length(outline.width)} × ${length(outline.height)} drawn against ${measuredText} ${how}`;
  if (Math.abs(widthError - heightError) > limit) {
    return [
      withFigure(
        widthError - heightError,
        finding(
          'side-proportion',
          'warn',
          where,
          `The proportions of side ${side.code} disagree with the vehicle: ${errorText(widthError, 'wide', 'narrow')} and ${errorText(heightError, 'high', 'low')} (${figures}).`,
          `${confirm} Check the measures and the rectangle of the side; if both are right, have the artwork redrawn for this vehicle.`.trimStart(),
        ),
      ),
    ];
  }
  if (Math.max(Math.abs(widthError), Math.abs(heightError)) <= limit) return [];
  const fitting = (job.scale * 2) / (2 + (widthError + heightError) / 100);
  return [
    withFigure(
      widthError + heightError,
      finding(
        'side-scale',
        'warn',
        where,
        `Side ${side.code} is ${errorText(widthError, 'wide', 'narrow')} and ${errorText(heightError, 'high', 'low')} at scale 1:${decimalText(job.scale, 4)} (${figures}).`,
        `${confirm} Set the scale to 1:${decimalText(fitting, 4)} if the measures are right.`.trimStart(),
      ),
    ),
  ];
}

function errorText(percent: number, over: string, under: string): string {
  const size = decimalText(Math.abs(percent), 2);
  return size === '0' ? `not too ${over}` : `${size} % too ${percent > 0 ? over : under}`;
}

/** Without bleed the panel ends where the vehicle does: nothing is left to tuck in or to cover an error. Keeps ARF7. */
function bleedFindings({ side }: SideContext): Finding[] {
  const bare = EDGES.filter((edge) => side.bleed[edge] <= LENGTH_TOLERANCE_MM);
  if (bare.length === 0) return [];
  return [
    withFigure(
      bare.length,
      finding(
        'bleed-none',
        'warn',
        { sideId: side.id },
        `Side ${side.code} has no bleed at its ${edgesText(bare)}, so nothing is left there to tuck or trim.`,
        'Give these edges a bleed, or accept that the panels must end exactly on the outline.',
      ),
    ),
  ];
}

/** Sides that share artwork on one page: rarely intended, because the same picture then prints twice. Keeps ARF6. */
export function sharedArtworkFindings(job: Job): Finding[] {
  const length = jobLengthText(job);
  return job.sides.flatMap((side, index) =>
    job.sides.slice(index + 1).flatMap((other) => {
      if (side.page === undefined) return [];
      const shared = side.page === other.page && sharedOnPage(side, other);
      if (!shared) return [];
      return [
        finding(
          'sides-overlap-on-page',
          'warn',
          { sideId: side.id, itemId: other.id, page: side.page },
          `Sides ${side.code} and ${other.code} share ${length(shared.width)} × ${length(shared.height)} of page ${side.page}, as drawn.`,
          'Move the rectangles of the sides apart, or accept that both print the shared part.',
        ),
      ];
    }),
  );
}

const sharedOnPage = (a: Side, b: Side) =>
  rectIntersection(rectFromStored<'drawn'>(a.artworkRect), rectFromStored<'drawn'>(b.artworkRect));
