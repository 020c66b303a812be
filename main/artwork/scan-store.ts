/**
 * What artworks were seen to hold, from one session to the next: looking through one takes seconds. It can be seen
 * again, so it lies among the previews.
 */
import { ArtworkScan } from '../../core/checks/scan/schema.ts';
import type { ArtworkReference } from '../../core/job/schema.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { PreviewCache } from '../render/preview-cache.ts';

const NAME = 'scan.json';
/** To be raised when a scan says otherwise than before. */
const EDITION = 1;

export class ScanStore {
  readonly #cache: PreviewCache;

  constructor(archiveFolder: string) {
    this.#cache = new PreviewCache(archiveFolder);
  }

  /** Undefined where this program has not looked through the artwork. */
  async scan(reference: ArtworkReference): Promise<ArtworkScan | undefined> {
    const kept = await this.#cache.value(reference, NAME);
    if (typeof kept !== 'object' || kept === null || !('by' in kept) || kept.by !== WRITER) return undefined;
    return 'scan' in kept ? ArtworkScan.safeParse(kept.scan).data : undefined;
  }

  async keep(reference: ArtworkReference, scan: ArtworkScan): Promise<void> {
    await this.#cache.keepValue(reference, NAME, { by: WRITER, scan });
  }
}

const WRITER = `${PROGRAM_VERSION} ${EDITION}`;
