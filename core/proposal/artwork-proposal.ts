/**
 * A proposal for new artwork: the number of sides, their size and scale, a name for each, and any signs against it. The
 * operator checks and confirms it.
 *
 *     artworkProposal(pages)   2 pages of 600 × 210 mm that say “drawn at 1:10”
 *                              → 1:10; left side and right side of 6000 × 2100 mm; nothing wrong
 */
import { type EditResult, scaleSet, sideAdd } from '../job/edits/edits.ts';
import { sideOfRole } from '../job/edits/side-suggested.ts';
import type { Job, VehicleKind } from '../job/schema.ts';
import { storedFromRect } from '../job/stored-rect.ts';
import { withFirstKind } from '../job/vehicles.ts';
import type { PageSeen } from './page-seen.ts';
import { type ScaleProposal, scaleProposal } from './scale-proposal.ts';
import { pageParts, type SideProposal, sidesProposed } from './side-proposal.ts';

export interface ArtworkProposal {
  readonly scale: ScaleProposal;
  readonly sides: readonly SideProposal[];
}

export function artworkProposal(pages: readonly PageSeen[]): ArtworkProposal {
  const parts = pages.flatMap(pageParts);
  return { scale: scaleProposal(pages, parts), sides: sidesProposed(pages, parts) };
}

/** What the operator confirmed. */
export interface SidesAgreed {
  readonly scale: number;
  readonly kind: VehicleKind;
  readonly sides: readonly Pick<SideProposal, 'page' | 'rect' | 'role'>[];
}

/** The job with its scale and its first sides, each one panel as large as the side. */
export function jobWithSides(job: Job, { scale, kind, sides }: SidesAgreed): EditResult {
  return sides.reduce<EditResult>(
    (edited, { page, rect, role }) => {
      if (!edited.ok) return edited;
      const named = sideOfRole(edited.value, role);
      return sideAdd(edited.value, { side: { ...named, page, artworkRect: storedFromRect(rect) } });
    },
    scaleSet(withFirstKind(job, kind), { scale, positions: 'with-artwork' }),
  );
}
