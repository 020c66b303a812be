/**
 * Computed coverage from one session to the next, and from one thread to another: by the artwork, and by what of it each
 * panel prints. It can be computed anew, so it lies among the previews.
 */
import { createHash } from 'node:crypto';
import { z } from 'zod';
import type { ArtworkReference } from '../../core/job/schema.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { PanelCoverage } from '../../core/production/job-coverage.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { PreviewCache } from '../render/preview-cache.ts';

const NAME = 'coverage.json';
/** To be raised when inks come out otherwise than before. */
const EDITION = 3;
/** A side is a kilobyte or two, and changes with every seam that is moved. */
const MAX_SIDES = 60;

const Kept = z.array(z.strictObject({ key: z.string(), panels: z.array(PanelCoverage) }));
type Kept = z.infer<typeof Kept>;

export class CoverageStore {
  readonly #cache: PreviewCache;

  constructor(archiveFolder: string) {
    this.#cache = new PreviewCache(archiveFolder);
  }

  /** Undefined where these windows of the artwork were not computed yet. */
  async panels(
    reference: ArtworkReference,
    layout: SideLayout,
    scale: number,
  ): Promise<readonly PanelCoverage[] | undefined> {
    const key = keyOf(layout, scale);
    return (await this.readKept(reference)).find((side) => side.key === key)?.panels;
  }

  async keep(
    reference: ArtworkReference,
    layout: SideLayout,
    scale: number,
    panels: readonly PanelCoverage[],
  ): Promise<void> {
    const key = keyOf(layout, scale);
    const others = (await this.readKept(reference)).filter((side) => side.key !== key);
    const kept: Kept = [...others, { key, panels: [...panels] }].slice(-MAX_SIDES);
    await this.#cache.keepValue(reference, NAME, kept);
  }

  async readKept(reference: ArtworkReference): Promise<Kept> {
    return Kept.safeParse(await this.#cache.value(reference, NAME)).data ?? [];
  }
}

function keyOf({ side, panels }: SideLayout, scale: number): string {
  const windows = panels.map(({ id, label, printed }) => [id, label, printed]);
  const asked = [EDITION, PROGRAM_VERSION, side.page, side.artworkRect, scale, windows];
  return createHash('sha256').update(JSON.stringify(asked)).digest('hex');
}
