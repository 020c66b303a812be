import { rm } from 'node:fs/promises';
import { join, parse } from 'node:path';
import type { ArtworkFacts } from '../../core/contract/verbs-artwork.ts';
import { MOST_ARTWORK_FILES } from '../../core/job/schema.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { keepArtwork } from './keep-artwork.ts';
import type { ActParts, ServiceParts } from './service-parts.ts';

/** One PDF, or several that are put together to one: their pages one after the other. */
export async function importArtworks(
  parts: Parameters<typeof importArtwork>[0],
  artworks: readonly [ArtworkAt, ...ArtworkAt[]],
  tools: TaskTools,
): Promise<Result<ArtworkFacts>> {
  const [first] = artworks;
  if (artworks.length === 1) return await importArtwork(parts, first, tools);
  if (artworks.length > MOST_ARTWORK_FILES) return resultProblem(tooMany(artworks.length));
  const folder = makeScratchFolder('artworks');
  try {
    const path = join(folder, 'artwork.pdf');
    const joined = await parts.work.run('artworksJoined', { artworks, to: path }, tools);
    if (!joined.ok) return resultProblem(passwordTold(joined.problem));
    const fileName = `${parse(first.fileName).name} and ${artworks.length - 1} more.pdf`;
    const { archive, work, pictures } = parts;
    const facts = await importArtwork({ archive, work }, { path, fileName, box: first.box }, tools);
    if (!facts.ok) return facts;
    const { reference } = facts.value;
    const ofAll = { ...facts.value, reference: { ...reference, files: joined.value } };
    await pictures?.rememberPages(ofAll);
    return resultOk(ofAll);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

const tooMany = (count: number): Problem => ({
  code: 'artwork-files-many',
  message: `${count} PDFs were given, and an artwork is put together from ${MOST_ARTWORK_FILES} at most.`,
  remedy: 'Give those that hold the sides of this job.',
});

/** One password is given for all files that ask for one. */
const passwordTold = (problem: Problem): Problem =>
  problem.code === 'pdf-password-wrong'
    ? { ...problem, remedy: `${problem.remedy} Files with different passwords are saved without them first.` }
    : problem;

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
