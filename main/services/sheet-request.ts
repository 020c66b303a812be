import type { Job } from '../../core/job/schema.ts';
import type { ShopLogo } from '../../core/job/shop-profile.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { type DrawnKind, isBeforeArtwork } from '../../core/output/sheet-kind.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import { artworkOfJob } from './artwork-in-vault.ts';
import type { ServiceParts } from './service-parts.ts';
import { shopLogo } from './shop-logo.ts';

interface SheetRequest {
  readonly job: Job;
  readonly kinds: readonly DrawnKind[];
  readonly archiveFolder: string;
  readonly logo: ShopLogo | undefined;
  readonly artwork?: ArtworkAt;
}

/** What the task needs to draw one sheet of a job, the same whether it is seen or saved. */
export async function sheetRequest(
  parts: Pick<ServiceParts, 'archive' | 'pictures'>,
  job: Job,
  kind: DrawnKind,
): Promise<Result<SheetRequest>> {
  const { archive } = parts;
  const artwork = isBeforeArtwork(kind) || !job.artwork ? undefined : await artworkOfJob(parts, job);
  if (artwork && !artwork.ok) return artwork;
  return resultOk({
    job,
    kinds: [kind],
    archiveFolder: archive.folder,
    logo: await shopLogo(archive),
    ...(artwork && { artwork: artwork.value }),
  });
}
