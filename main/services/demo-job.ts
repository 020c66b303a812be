import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { sidePhotoSet } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import { foundIn } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { PhotoPoints } from '../../core/vehicle/side-photo.ts';
import { DEMO_JOBS, type DemoJob, readDemoJob } from '../job/demo-jobs.ts';
import { keepPhoto } from './photos.ts';
import { saveJob } from './save-job.ts';
import type { ActParts } from './service-parts.ts';

/** Puts the demo's bookmobile into the archive, artwork included, or finds the one that is there. */
export async function addDemoJob({
  archive,
  now,
}: Pick<ActParts, 'archive' | 'now'>): Promise<Result<JobSummary>> {
  const demo = DEMO_JOBS.bookmobile;
  const { box, artworkName: fileName } = demo;
  const job = await readDemoJob(demo);
  const existing = await archive.jobs.find(job.id);
  if (existing.ok) {
    const { document: _, ...summary } = existing.value;
    return resultOk(summary);
  }
  const kept = await archive.vault.add(fileURLToPath(demo.artwork));
  const whole = await withPhoto(archive, { ...job, artwork: { ...kept, fileName, box } }, demo.photo);
  return whole.ok ? await saveJob(archive, whole.value, now(), 0) : whole;
}

async function withPhoto(
  archive: ActParts['archive'],
  job: Job,
  { sideCode, file, points }: NonNullable<DemoJob['photo']>,
): Promise<Result<Job>> {
  const path = fileURLToPath(file);
  const kept = await keepPhoto(archive, { path, fileName: basename(path) });
  if (!kept.ok) return kept;
  const known = PhotoPoints.parse(JSON.parse(await readFile(points, 'utf8')));
  const side = foundIn(job.sides, ({ code }) => code === sideCode);
  return sidePhotoSet(job, { sideId: side.id, photo: { ...kept.value, ...known } });
}
