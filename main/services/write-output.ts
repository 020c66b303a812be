/** Writing an output, from the order to the verdict. */
import { jobFill, jobWithoutFill } from '../../core/job/job-fill.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { NOT_VERIFIED } from '../../core/verify/not-verified.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import { type Archive, type ArchivedOutput, jobNumberTaken } from '../archive/port.ts';
import { jobFolderIn } from '../files/job-folder.ts';
import type { OutputBlocked, StagedOutput } from '../tasks/job-output.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { FillPath } from '../tasks/output-request.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { keepArtwork } from './keep-artwork.ts';
import { keepOutput, keptNowhere } from './keep-output.ts';
import { type Placed, writeNumbered } from './number-output.ts';
import { saveJobFromFile } from './save-job.ts';
import type { ActParts } from './service-parts.ts';
import { shopLogo } from './shop-logo.ts';
import { verifyWritten } from './verify-written.ts';

export interface OutputOrder {
  readonly job: Job;
  readonly artwork: ArtworkAt;
  /** The folder of the job is made in it; see main/files/job-folder.ts. */
  readonly to: string;
  /** Panels to write; absent: all. */
  readonly panelIds?: readonly string[] | undefined;
  readonly sheets: readonly SheetKind[];
  /** For this output alone, in place of what the job says. */
  readonly files?: 'panels' | 'strips' | undefined;
  /** For this output, even where the job does not say so. */
  readonly cutContours?: boolean | undefined;
  readonly isVerified: boolean;
  /**
   * Also saves the job in the archive, because it comes from a file. Rejected where a window saved another state of it.
   */
  readonly isJobSaved?: boolean;
}

export interface WrittenOutput extends PlacedOutput {
  /** As the archive keeps it; undefined where there is none. */
  readonly kept: ArchivedOutput | undefined;
  readonly verification: OutputVerification;
}

type PlacedOutput = Placed<StagedOutput>;

/**
 * Checks the job, writes its panels, strips, sheets and manifest, keeps them in the archive and compares them with the
 * artwork. Nothing is written while findings block it (`output-blocked`); written files stay, whatever happens
 * afterward.
 */
export async function writeOutput(
  { archive, work, now }: Pick<ActParts, 'work' | 'now'> & { readonly archive: Archive | undefined },
  order: OutputOrder,
  tools: TaskTools,
): Promise<Result<WrittenOutput, Problem | OutputBlocked>> {
  const { artwork, to, panelIds, sheets } = order;
  if (archive && order.isJobSaved) {
    const isFree = await archive.jobs.tryFile(order.job);
    if (!isFree.ok) return isFree;
  }
  const job = jobAsPrinted(order);
  // Better reported before the cut than when the archive should keep it.
  const holder = order.isJobSaved ? await archive?.jobs.withNumber(job.number) : undefined;
  if (holder && holder.id !== job.id) return resultProblem(jobNumberTaken(holder));
  const jobFolder = await jobFolderIn(to, job);
  if (!jobFolder.ok) return jobFolder;
  const logo = archive && (await shopLogo(archive));
  const fillPaths = archive ? await fillPathsOf(archive, job) : [];
  const request = {
    ...{ job, artwork, jobFolder: jobFolder.value, sheets, logo, fillPaths },
    ...(panelIds && { panelIds }),
  };
  const placed = await writeNumbered(archive, job.id, jobFolder.value, undefined, (output) =>
    work.run('output', { ...request, output, ...(archive && { archiveFolder: archive.folder }) }, tools),
  );
  if (!placed.ok) return placed;
  const output = placed.value;
  const kept = archive && (await keepWritten({ archive, now }, order, job, output));
  if (kept && !kept.ok) return kept;
  if (!order.isVerified) return resultOk({ ...output, kept: kept?.value, verification: NOT_VERIFIED });
  const files = {
    ...output,
    ...(kept && { id: kept.value.id }),
    job,
    artwork: resultOk(artwork),
    panelIds,
  };
  const { verification, ...verified } = await verifyWritten({ archive, work }, files, tools);
  return resultOk({
    ...output,
    files: verified.files,
    remarks: [...output.remarks, ...verified.remarks],
    kept: kept && { ...kept.value, verification, files: [...verified.files] },
    verification,
  });
}

/** A choice of panels is nested by itself, with nothing beside it. */
function jobAsPrinted({ job: whole, files, panelIds, cutContours = false }: OutputOrder): Job {
  const job = panelIds ? jobWithoutFill(whole) : whole;
  const isOther = files !== undefined && files !== (job.output.files ?? 'panels');
  if (!isOther && !cutContours) return job;
  const output = { ...job.output, ...(isOther && { files }), ...(cutContours && { cutContours }) };
  return { ...job, output };
}

/** Files of the fill list that are whole in the archive. */
async function fillPathsOf({ vault }: Archive, job: Job): Promise<FillPath[]> {
  const paths: FillPath[] = [];
  for (const { source } of jobFill(job)) {
    if (source && (await vault.state(source.sha256)) === 'sound')
      paths.push({ sha256: source.sha256, path: await vault.path(source.sha256) });
  }
  return paths;
}

/** The artwork first, then the job, then the output, so that whatever the archive lists is complete. */
async function keepWritten(
  { archive, now }: Pick<ActParts, 'archive' | 'now'>,
  { job, artwork, isJobSaved = false }: OutputOrder,
  printed: Job,
  { number, manifest, folder, files }: PlacedOutput,
): Promise<Result<ArchivedOutput>> {
  const { sha256 } = manifest.artwork;
  const taken = await keepArtwork(archive, artwork, sha256);
  if (!taken.ok) return resultProblem({ ...taken.problem, remedy: keptNowhere(folder) });
  if (isJobSaved) {
    const saved = await saveJobFromFile(archive, job, now());
    if (!saved.ok) return saved;
  }
  return await keepOutput(archive, {
    number,
    jobId: job.id,
    kind: 'output',
    reason: '',
    at: now(),
    document: jobToJson(printed),
    artworkSha256: sha256,
    folder,
    files,
  });
}
