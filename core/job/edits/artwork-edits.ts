/** The artwork file of a job, and the page box that drawn space begins at. */

import type { PageBox } from '../../measure/page-box.ts';
import type { Point } from '../../measure/rect.ts';
import { type ArtworkReference, type Job, MOST_PROOF_REVISIONS, type Side } from '../schema.ts';
import { type EditResult, editFinished, editProblem } from './edit.ts';

/** Makes a file the artwork of the job. Sides stay where they are on its pages. */
export function artworkSet(job: Job, { reference }: { readonly reference: ArtworkReference }): EditResult {
  return editFinished(job, jobOnArtwork(job, reference));
}

/**
 * Makes a corrected file the artwork of the job. Seams, lines and settings stay; a side that moved to another page of
 * it follows. Keeps CPF5.
 */
export function artworkCorrected(
  job: Job,
  {
    reference,
    moves,
  }: {
    readonly reference: ArtworkReference;
    readonly moves: readonly { readonly sideId: string; readonly page: number }[];
  },
): EditResult {
  const pages = new Map(moves.map(({ sideId, page }) => [sideId, page]));
  const sides = job.sides.map((side) => {
    const page = pages.get(side.id);
    return page === undefined || page === side.page ? side : { ...side, page };
  });
  return editFinished(job, { ...jobOnArtwork(job, reference), sides });
}

/** CPF5 Replacing the artwork gives the next customer proof a new revision. */
function jobOnArtwork(job: Job, artwork: ArtworkReference): Job {
  const { artwork: before, proofRevision = 1 } = job;
  const isOther = before !== undefined && before.sha256 !== artwork.sha256;
  return {
    ...job,
    artwork,
    ...(isOther && { proofRevision: Math.min(MOST_PROOF_REVISIONS, proofRevision + 1) }),
  };
}

/**
 * Measures drawn space from another page box. Every side stays on the same part of the artwork: for each page,
 * `corners` holds the top left corner of the new box relative to that of the present one.
 */
export function artworkBoxSet(
  job: Job,
  { box, corners }: { readonly box: PageBox; readonly corners: ReadonlyMap<number, Point<'drawn'>> },
): EditResult {
  if (!job.artwork) {
    return editProblem('artwork-none', 'The job has no artwork yet.', 'Import the artwork PDF first.');
  }
  const sides = job.sides.map((side) =>
    side.page === undefined ? side : sideShifted(side, corners.get(side.page)),
  );
  return editFinished(job, { ...job, artwork: { ...job.artwork, box }, sides });
}

function sideShifted(side: Side, corner: Point<'drawn'> | undefined): Side {
  if (!corner || (corner.x === 0 && corner.y === 0)) return side;
  const { xMm, yMm, ...size } = side.artworkRect;
  return { ...side, artworkRect: { xMm: xMm - corner.x, yMm: yMm - corner.y, ...size } };
}
