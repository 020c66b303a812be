/**
 * Scans of artworks across sessions, because a scan takes seconds. They can be repeated, so they are stored with the
 * previews.
 */
import { z } from 'zod';
import { ArtworkScan } from '../../core/checks/scan/schema.ts';
import type { ArtworkReference } from '../../core/job/schema.ts';
import type { ContentFacts } from '../../core/pdf/content/page-content.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { PreviewCache } from '../render/preview-cache.ts';

const NAME = 'scan.json';
const CONTENTS_NAME = 'contents.json';
/** Increase when the scan results change. */
const EDITION = 4;

/** Of each page; null where its content could not be read. */
const KeptContents = z.strictObject({
  by: z.string(),
  pages: z.array(
    z.strictObject({ isUnbalanced: z.boolean(), isCutOff: z.boolean(), isBlank: z.boolean() }).nullable(),
  ),
});

export class ScanStore {
  readonly #cache: PreviewCache;

  constructor(archiveFolder: string) {
    this.#cache = new PreviewCache(archiveFolder);
  }

  /** Undefined where this version has not scanned the artwork. */
  async scan(reference: ArtworkReference): Promise<ArtworkScan | undefined> {
    const kept = await this.#cache.value(reference, NAME);
    if (typeof kept !== 'object' || kept === null || !('by' in kept) || kept.by !== WRITER) return undefined;
    return 'scan' in kept ? ArtworkScan.safeParse(kept.scan).data : undefined;
  }

  async keep(reference: ArtworkReference, scan: ArtworkScan): Promise<void> {
    await this.#cache.keepValue(reference, NAME, { by: WRITER, scan });
  }

  /** Facts about each page's content that are needed before the file can be used; reading all of it takes longer. */
  async contents(reference: ArtworkReference): Promise<(ContentFacts | undefined)[] | undefined> {
    const kept = KeptContents.safeParse(await this.#cache.value(reference, CONTENTS_NAME)).data;
    return kept?.by === WRITER ? kept.pages.map((page) => page ?? undefined) : undefined;
  }

  async keepContents(
    reference: ArtworkReference,
    pages: readonly (ContentFacts | undefined)[],
  ): Promise<void> {
    const kept: z.infer<typeof KeptContents> = {
      by: WRITER,
      pages: pages.map((page) =>
        page ? { isUnbalanced: page.isUnbalanced, isCutOff: page.isCutOff, isBlank: page.isBlank } : null,
      ),
    };
    await this.#cache.keepValue(reference, CONTENTS_NAME, kept);
  }
}

const WRITER = `${PROGRAM_VERSION} ${EDITION}`;
