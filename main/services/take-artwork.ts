/**
 * An artwork of a watched folder becomes a job: imported, laid out by a saved layout and the best suggestion, checked.
 * Where no finding stops it or waits, its panels are written and verified; else it waits for an operator with its
 * report.
 */
import { join } from 'node:path';
import { findingGroups } from '../../core/findings/layout/finding-groups.ts';
import { jobEmpty } from '../../core/job/defaults.ts';
import type { Job } from '../../core/job/schema.ts';
import type { ShopProfile } from '../../core/job/shop-profile.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { USUAL_SHEETS } from '../../core/output/sheet-kind.ts';
import { pagesSeen } from '../../core/proposal/page-seen.ts';
import { sidecarFromText } from '../../core/proposal/sidecar.ts';
import { watchedJob } from '../../core/proposal/watched-job.ts';
import { planTaken } from '../../core/seams/plan-taken.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import { jobNumberTaken } from '../archive/port.ts';
import type { TakenFile } from '../files/watched-folder.ts';
import type { OutputBlocked } from '../tasks/job-output.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault } from './artwork-in-vault.ts';
import { importArtwork } from './import-artwork.ts';
import { artworkAtFile } from './open-job-file.ts';
import { saveJobFromFile } from './save-job.ts';
import type { ActParts } from './service-parts.ts';
import { storedJob } from './stored-job.ts';
import { suggestLayouts } from './suggest-layouts.ts';
import { verifyOutput } from './verify-output.ts';
import type { FileTaker, WatchedOutcome } from './watch-folder.ts';
import { writeOutput } from './write-output.ts';
import { writeReport } from './write-report.ts';

/** `shop`: the settings for the first job of a shop that was not set up yet. */
export const artworkTaker =
  (shop: ShopProfile): FileTaker =>
  async (file, parts, { to }, tools) => {
    const known = await storedJob(parts.archive, file.id);
    const job = known.ok ? resultOk(known.value.job) : await jobOfFile(file, parts, shop, tools);
    return job.ok ? await written(file, job.value, parts, to, tools) : job;
  };

async function jobOfFile(
  file: TakenFile,
  parts: ActParts,
  shop: ShopProfile,
  tools: TaskTools,
): Promise<Result<Job>> {
  const { archive, now } = parts;
  const sidecar = sidecarFromText(file.sidecar ?? '');
  if (!sidecar.ok) return sidecar;
  const { inFolder } = file;
  const said = { ...(inFolder !== undefined && { savedLayout: inFolder }), ...sidecar.value };
  const number = said.job ?? file.fileName.replace(/\.pdf$/i, '');
  const holder = await archive.jobs.withNumber(number);
  if (holder) {
    const { code, message } = jobNumberTaken(holder);
    const remedy =
      'Rename the file, or give the job another number in a text beside it, such as “job: 4711”.';
    return resultProblem({ code, message, remedy });
  }
  const artwork = artworkAtFile(file.path, { box: 'crop' });
  const imported = await importArtwork(parts, artwork, tools);
  if (!imported.ok) return imported;
  const facts = await parts.work.run('artworkFacts', { ...artwork, archiveFolder: archive.folder }, tools);
  if (!facts.ok) return facts;
  const items = await archive.shelf.items();
  const { profile = shop } = items;
  const given = {
    id: file.id,
    number,
    name: said.name ?? number,
    customer: said.customer ?? '',
    date: now().slice(0, 10),
  };
  const empty: Job = { ...jobEmpty(given, profile), artwork: imported.value.reference };
  const begun = watchedJob(empty, pagesSeen(facts.value), said, items);
  if (!begun.ok) return begun;
  let job = begun.value;
  for (const { id: sideId } of job.sides) {
    // All sides on the roll that is in the printer: another one is for a person to select.
    const request = { job, sideId, layouts: 'sections', otherRollWidthsMm: [], artwork } as const;
    const suggested = await suggestLayouts(parts, request, tools);
    if (!suggested.ok) return suggested;
    const { outcome } = suggested.value;
    // A side that no layout suits stays one panel, and what is wrong with that is for the checks to say.
    const best = outcome.kind === 'plans' ? outcome.plans[0] : undefined;
    const taken = best && planTaken(job, sideId, best);
    if (taken?.ok) job = taken.value;
  }
  const saved = await saveJobFromFile(archive, job, now());
  return saved.ok ? resultOk(job) : saved;
}

async function written(
  file: TakenFile,
  job: Job,
  parts: ActParts,
  to: string,
  tools: TaskTools,
): Promise<Result<WatchedOutcome>> {
  const artwork = await artworkInVault(
    parts.archive,
    present(job.artwork, 'The artwork of a job'),
    undefined,
  );
  if (!artwork.ok) return artwork;
  // One that was written before the program ended is not written again.
  const last = (await parts.archive.outputs.list(job.id)).at(-1);
  if (last) {
    const verified =
      last.verification.state === 'not-verified'
        ? await verifyOutput(parts, last.id, () => undefined, tools)
        : resultOk({ verification: last.verification });
    return verified.ok
      ? resultOk(ending(job, last.number, last.folder, verified.value.verification))
      : verified;
  }
  const order = { job, artwork: artwork.value, to, sheets: USUAL_SHEETS, isVerified: true };
  const output = await writeOutput(parts, order, tools);
  if (output.ok) {
    const { number, folder, verification } = output.value;
    return resultOk(ending(job, number, folder, verification));
  }
  if (output.problem.code !== 'output-blocked') return output;
  const { findings } = output.problem as OutputBlocked;
  const report = await writeReport(parts, job, artwork.value, join(file.folder, 'report.pdf'), tools);
  if (!report.ok) return report;
  const groups = findingGroups(job, jobLayout(job), findings);
  return resultOk({
    end: 'waiting',
    sentence: `became job ${job.number}, which waits for an operator; its report lies in _waiting. ${output.problem.message}`,
    lines: groups.map(({ title, remedy }) => `- ${title} ${remedy}`),
  });
}

function ending(
  { number }: Job,
  outputNumber: number,
  folder: string,
  { state, sentences }: OutputVerification,
): WatchedOutcome {
  return state === 'verified'
    ? {
        end: 'done',
        sentence: `became job ${number}; Output ${outputNumber} is written and verified in ${folder}.`,
      }
    : {
        end: 'waiting',
        sentence: `became job ${number}, which waits for an operator: Output ${outputNumber} in ${folder} is not released. ${sentences.join(' ')}`,
      };
}
