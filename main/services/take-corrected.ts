/**
 * A PDF of a watched folder whose name begins with the number of an open job is a corrected artwork of it. It is compared
 * with the present one, and waits for the operator: nothing is replaced.
 */
import type { Job } from '../../core/job/schema.ts';
import { resultOk } from '../../core/measure/result.ts';
import { comparedPanelLines, comparisonSummary } from '../../core/output/comparison-text.ts';
import type { Archive } from '../archive/port.ts';
import { compareKeptArtworks } from './compare-artworks.ts';
import { importArtwork } from './import-artwork.ts';
import { artworkAtFile } from './open-job-file.ts';
import { storedJob } from './stored-job.ts';
import type { FileTaker } from './watch-folder.ts';

/** Keeps WF5. */
export const correctedTaker: FileTaker = async (file, parts, _order, tools) => {
  const { archive } = parts;
  // A text beside it, or a folder of its own, says how to begin a job.
  if (file.sidecar !== undefined || file.inFolder !== undefined) return undefined;
  // A job that was begun from this same file continues.
  if ((await archive.jobs.find(file.id)).ok) return undefined;
  const job = await jobOfName(file.fileName, archive);
  if (!job?.artwork) return undefined;
  const imported = await importArtwork(parts, artworkAtFile(file.path, { box: job.artwork.box }), tools);
  if (!imported.ok) return imported;
  const after = imported.value.reference;
  if (after.sha256 === job.artwork.sha256)
    return resultOk({ end: 'done', sentence: `is the artwork that job ${job.number} has already.` });
  const compared = await compareKeptArtworks(parts, { job, after }, () => undefined, tools);
  if (!compared.ok) return compared;
  const { sides, remarks } = compared.value;
  return resultOk({
    end: 'waiting',
    sentence: `is a corrected artwork of job ${job.number}. ${comparisonSummary(compared.value)} It waits for an operator under Compare artworks of the job; nothing is replaced.`,
    lines: [
      ...remarks,
      ...sides.flatMap(({ panels }) => panels.flatMap((panel) => comparedPanelLines(panel, job.displayUnit))),
    ],
  });
};

/** The job with the longest number that the name begins with, up to a sign between words; none where that job is archived. */
async function jobOfName(fileName: string, archive: Archive): Promise<Job | undefined> {
  const name = fileName.replace(/\.pdf$/i, '');
  const ends = [name.length, ...Array.from(name.matchAll(/[^\p{L}\p{N}]/gu), ({ index }) => index).reverse()];
  for (const end of ends) {
    const found = await archive.jobs.withNumber(name.slice(0, end));
    if (!found) continue;
    const stored = found.archivedAt === null ? await storedJob(archive, found.id) : undefined;
    return stored?.ok ? stored.value.job : undefined;
  }
  return undefined;
}
