import type { ArtworkFacts } from '../../core/contract/verbs-artwork.ts';
import type { Result } from '../../core/measure/result.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { keepArtwork } from './keep-artwork.ts';
import type { ActParts, ServiceParts } from './service-parts.ts';

/** Reads a PDF's pages and takes it into the vault; where there are screens, its first page is drawn meanwhile. */
export async function importArtwork(
  { archive, work, pictures }: Pick<ActParts, 'archive' | 'work'> & Partial<Pick<ServiceParts, 'pictures'>>,
  artwork: ArtworkAt,
  tools: TaskTools,
): Promise<Result<ArtworkFacts>> {
  const firstPage = pictures && work.run('artworkFirstPage', artwork, tools);
  const reading = work.run(
    'artworkFacts',
    { ...artwork, archiveFolder: archive.folder, isBrief: true },
    tools,
  );
  if (firstPage) pictures.beginFirstPicture(artwork, firstPage, reading);
  const facts = await reading;
  if (!facts.ok) return facts;
  const { sha256 } = facts.value.reference;
  if (artwork.password !== undefined) pictures?.rememberPassword(sha256, artwork.password);
  const kept = await keepArtwork(archive, artwork, sha256, tools);
  if (!kept.ok) return kept;
  await pictures?.rememberPages(facts.value);
  return facts;
}
