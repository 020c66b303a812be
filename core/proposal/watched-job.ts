/** Makes a job from artwork in a watched folder, as far as possible without a person. */
import { unitsSet } from '../job/edits/edits.ts';
import { applySavedLayout, type SavedLayout } from '../job/edits/saved-layout.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Job, Side } from '../job/schema.ts';
import { sideOutline } from '../job/side-outline.ts';
import { firstVehicle } from '../job/vehicles.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { ShelfItem } from '../shop/shelf.ts';
import { artworkProposal, jobWithSides } from './artwork-proposal.ts';
import type { PageSeen } from './page-seen.ts';
import { usualScaleNear } from './scale-proposal.ts';
import type { SideProposal } from './side-proposal.ts';
import type { Sidecar } from './sidecar.ts';
import { vehicleKindProposed } from './vehicle-kind.ts';

export interface ShopKnown {
  readonly savedLayouts: readonly SavedLayout[];
  readonly materials: readonly ShelfItem[];
}

/** How far a side may differ in size from a side of a saved layout; vehicles of one type differ by less. */
const SIZE_SHARE = 0.02;

/**
 * The sides that the pages show, each as one panel, with the lines and areas of the saved layout on sides of matching
 * size. The scale is the stated one, else the usual one at which a side is as long as in the saved layout, else what
 * the pages say. Keeps WF3.
 */
export function watchedJob(
  empty: Job,
  pages: readonly PageSeen[],
  sidecar: Sidecar,
  shop: ShopKnown,
): Result<Job> {
  const savedLayout = namedLayout(sidecar, shop);
  if (!savedLayout.ok) return savedLayout;
  const { scale: proposed, sides } = artworkProposal(pages);
  const scale = sidecar.scale ?? scaleOfLayout(sides, savedLayout.value) ?? proposed.scale;
  const kind = sidecar.kind ?? vehicleKindProposed(empty.name, pages) ?? firstVehicle(empty).kind;
  const begun = jobWithSides(empty, { scale, kind, sides });
  if (!begun.ok) return begun;
  const laidOut = withSavedLayout(begun.value, savedLayout.value);
  if (!laidOut.ok) return laidOut;
  const counted = withUnits(laidOut.value, sidecar);
  return counted.ok ? withFilm(counted.value, sidecar, shop) : counted;
}

const isNamed = (name: string, wanted: string): boolean =>
  name.trim().toLowerCase() === wanted.trim().toLowerCase();

function namedLayout(
  { savedLayout: wanted }: Sidecar,
  { savedLayouts }: ShopKnown,
): Result<SavedLayout | undefined> {
  if (wanted === undefined) return resultOk(undefined);
  const found = savedLayouts.find(({ name }) => isNamed(name, wanted));
  if (found) return resultOk(found);
  return resultProblem({
    code: 'saved-layout-unknown',
    message: `The shop has no saved layout “${wanted}”.`,
    remedy:
      savedLayouts.length === 0
        ? 'Keep one from the bench first, or leave the name out.'
        : `Use one of: ${savedLayouts.map(({ name }) => name).join(', ')}.`,
  });
}

const isOfSize = (a: number, b: number): boolean => Math.abs(a / b - 1) <= SIZE_SHARE;

function scaleOfLayout(sides: readonly SideProposal[], layout: SavedLayout | undefined): number | undefined {
  if (!layout) return undefined;
  return sides.flatMap(({ rect }) => {
    const scale = usualScaleNear(layout.widthMm / rect.width, SIZE_SHARE);
    return scale !== undefined && isOfSize(rect.height * scale, layout.heightMm) ? [scale] : [];
  })[0];
}

function withSavedLayout(job: Job, layout: SavedLayout | undefined): Result<Job> {
  if (!layout) return resultOk(job);
  const fits = (side: Side): boolean => {
    const { width, height } = sideOutline(side, job.scale);
    return isOfSize(width, layout.widthMm) && isOfSize(height, layout.heightMm);
  };
  const sides = job.sides.filter(fits);
  if (sides.length === 0) {
    return resultProblem({
      code: 'saved-layout-size',
      message: `No side of the artwork at 1:${job.scale} is as large as the saved layout “${layout.name}”.`,
      remedy: 'Say the scale in the text beside it, or name the saved layout of this vehicle.',
    });
  }
  return sides.reduce<Result<Job>>(
    (edited, { id }) => (edited.ok ? applySavedLayout(edited.value, id, layout) : edited),
    resultOk(job),
  );
}

function withUnits(job: Job, { unitNumbers }: Sidecar): Result<Job> {
  if (!unitNumbers) return resultOk(job);
  const units = unitNumbers.map((unitNumber) => ({ unitNumber, licensePlate: '' }));
  return unitsSet(job, { vehicleId: firstVehicle(job).id, units });
}

/** Selects the shop's film by its name, or a film with a stored data sheet. */
function withFilm(job: Job, { film: wanted }: Sidecar, { materials }: ShopKnown): Result<Job> {
  if (wanted === undefined || isNamed(job.film.name, wanted)) return resultOk(job);
  const films = materials.filter((item) => item.use === 'film');
  const found = films.find(({ name }) => isNamed(name, wanted));
  if (!found) {
    return resultProblem({
      code: 'film-unknown',
      message: `The shop knows no film “${wanted}”.`,
      remedy: `Use one of: ${[...new Set([job.film.name, ...films.map(({ name }) => name)])].join(', ')}.`,
    });
  }
  const { name, kind, finish, lotNumber, base } = found;
  return resultOk({
    ...job,
    film: { name, kind, finish, lotNumber, ...(base && { base }) },
    production: { ...jobProductionSettings(job), film: found },
  });
}
