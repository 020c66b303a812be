/**
 * Computed coverage across sessions and threads, by artwork and by the part of it that each panel prints. It can be
 * recomputed, so it is stored with the previews.
 */
import { createHash } from 'node:crypto';
import { z } from 'zod';
import type { ArtworkReference, Side } from '../../core/job/schema.ts';
import type { Panel } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { itemAt } from '../../core/measure/present.ts';
import { PanelCoverage } from '../../core/production/job-coverage.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { PreviewCache } from '../render/preview-cache.ts';

const NAME = 'coverage.json';
/** Increase when the ink results change. */
const EDITION = 4;
/** A side is a kilobyte or two, and changes with every seam that is moved. */
const MAX_SIDES = 60;

const Kept = z.array(
  z.strictObject({
    key: z.string(),
    panels: z.array(z.strictObject({ window: z.string(), coverage: PanelCoverage })),
  }),
);
type Kept = z.infer<typeof Kept>;

export class CoverageStore {
  readonly #cache: PreviewCache;

  constructor(archiveFolder: string) {
    this.#cache = new PreviewCache(archiveFolder);
  }

  /**
   * Undefined where exactly these windows of the artwork were not computed together: a single panel, as in a reprint,
   * gets the figures of the side.
   */
  async panels(
    reference: ArtworkReference,
    { side, panels }: SideLayout,
    scale: number,
  ): Promise<readonly PanelCoverage[] | undefined> {
    const key = keyOf(side, scale);
    for (const kept of (await this.readKept(reference)).toReversed()) {
      if (kept.key !== key) continue;
      const known = new Map(kept.panels.map(({ window, coverage }) => [window, coverage]));
      const found = panels.flatMap((panel) => known.get(windowOf(panel)) ?? []);
      if (found.length === panels.length) return found;
    }
    return undefined;
  }

  async keep(
    reference: ArtworkReference,
    { side, panels }: SideLayout,
    scale: number,
    computed: readonly PanelCoverage[],
  ): Promise<void> {
    const made = {
      key: keyOf(side, scale),
      panels: panels.map((panel, index) => ({ window: windowOf(panel), coverage: itemAt(computed, index) })),
    };
    const kept: Kept = [...(await this.readKept(reference)), made].slice(-MAX_SIDES);
    await this.#cache.keepValue(reference, NAME, kept);
  }

  async readKept(reference: ArtworkReference): Promise<Kept> {
    return Kept.safeParse(await this.#cache.value(reference, NAME)).data ?? [];
  }
}

function keyOf({ page, artworkRect }: Side, scale: number): string {
  const asked = [EDITION, PROGRAM_VERSION, page, artworkRect, scale];
  return createHash('sha256').update(JSON.stringify(asked)).digest('hex');
}

const windowOf = ({ id, label, printed: { x, y, width, height } }: Panel): string =>
  JSON.stringify([id, label, x, y, width, height]);
