import type { PageBox } from '../../measure/page-box.ts';
import type { Artwork } from '../../pdf/document/artwork.ts';
import { documentScan } from './document-scan.ts';
import { ImageInks } from './image-inks.ts';
import { pageScan } from './page-scan.ts';
import type { ArtworkScan } from './schema.ts';

/**
 * Scans an artwork page by page; `box` is the origin of drawn space. Takes about a second for each hundred thousand
 * painted objects, so it runs in a worker, once for each file. `report` receives the number of finished pages and is
 * awaited; `pause` is awaited every few milliseconds of work and may throw to stop.
 */
export async function artworkScan(
  artwork: Artwork,
  box: PageBox,
  report: (done: number, total: number) => void | Promise<void> = () => undefined,
  pause?: () => Promise<void>,
): Promise<ArtworkScan> {
  const document = await documentScan(artwork.file);
  const pages: ArtworkScan['pages'] = [];
  const problems: ArtworkScan['problems'] = [];
  const imageInks = new ImageInks(artwork.file);
  const total = artwork.pages.length;
  for (let number = 1; number <= total; number++) {
    await report(number - 1, total);
    const page = await pageScan(artwork, number, box, imageInks, pause);
    if (page.ok) pages.push(page.value);
    else problems.push({ page: number, ...page.problem });
  }
  // Any read may discover damage.
  return { document: { ...document, isRepaired: artwork.file.isRepaired }, pages, problems };
}
