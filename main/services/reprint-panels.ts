/**
 * Writes selected panels of an output again. The bytes come from the vault, so that the second print is the same as the
 * first; where the vault has lost them, the panel is cut again from the archived artwork and job, and differences are
 * reported.
 */
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { filmPanels } from '../../core/output/film-panels.ts';
import { jobOfReprint } from '../../core/output/reprint-layouts.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { recordWithLots } from '../../core/output/used-roll.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { ArchivedOutput } from '../archive/port.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { jobFolderIn } from '../files/job-folder.ts';
import type { PanelToReprint, StagedReprint } from '../tasks/reprint.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault } from './artwork-in-vault.ts';
import { keepOutput } from './keep-output.ts';
import { readKeptManifest } from './kept-manifest.ts';
import { type Placed, writeNumbered } from './number-output.ts';
import { reprintVehicle } from './reprint-vehicle.ts';
import type { ActParts } from './service-parts.ts';
import { shopLogo } from './shop-logo.ts';
import { verifyWritten } from './verify-written.ts';

export interface ReprintOrder {
  readonly outputId: number;
  readonly panelLabels: readonly string[];
  /** The vehicle that they are for; absent where the job has one. */
  readonly unitNumber?: string | undefined;
  readonly reason: string;
  /** The folder of the job is made in it; see main/files/job-folder.ts. */
  readonly to: string;
  /** Papers for the reprinted panels. */
  readonly sheets: readonly SheetKind[];
  /** Whether a color strip is written, to be printed before the panels. */
  readonly hasColorStrip?: boolean | undefined;
}

export interface WrittenReprint extends Placed<StagedReprint> {
  readonly kept: ArchivedOutput;
  readonly verification: OutputVerification;
}

export async function reprintPanels(
  { archive, work, now }: Pick<ActParts, 'archive' | 'work' | 'now'>,
  { outputId, panelLabels, unitNumber: asked, reason, to, sheets, hasColorStrip = false }: ReprintOrder,
  passwordOf: (artworkSha256: string) => string | undefined,
  tools: TaskTools,
): Promise<Result<WrittenReprint>> {
  const first = await archive.outputs.find(outputId);
  if (!first.ok) return first;
  const { jobId, number: firstNumber, document, artworkSha256, programVersion } = first.value;
  const job = jobFromJson(document);
  if (!job.ok) return job;
  const files = filesOfPanels(first.value, panelLabels);
  if (!files.ok) return files;
  const manifest = await readKeptManifest(archive.vault, first.value);
  if (!manifest.ok) return manifest;
  const again = new Set(panelLabels);
  const toPrint = manifest.value.panels.filter(({ label }) => again.has(label));
  const vehicle = reprintVehicle(job.value, toPrint, asked);
  if (!vehicle.ok) return vehicle;
  const unitNumber = vehicle.value;
  const jobFolder = await jobFolderIn(to, job.value);
  if (!jobFolder.ok) return jobFolder;
  const { vault } = archive;
  const panels: PanelToReprint[] = [];
  for (const file of files.value) {
    if (tools.signal.aborted) return resultProblem(cancelledProblem);
    const isKept = (await vault.state(file.sha256)) === 'sound';
    panels.push({ file, ...(isKept && { path: await vault.path(file.sha256) }) });
  }
  const reference = { ...present(job.value.artwork, 'The artwork of a job'), sha256: artworkSha256 };
  const artwork = await artworkInVault(archive, reference, passwordOf(artworkSha256));
  const request = {
    job: job.value,
    programVersion,
    panels,
    manifest: manifest.value,
    artworkSha256,
    archiveFolder: archive.folder,
    sheets,
    hasColorStrip,
    jobFolder: jobFolder.value,
    logo: await shopLogo(archive),
    ...(artwork.ok && { artwork: artwork.value }),
    firstRecord: recordWithLots(
      first.value.record,
      first.value.usedRolls,
      filmPanels(jobOfReprint(job.value, unitNumber), toPrint),
      unitNumber,
    ),
  };
  const at = now();
  const reprint = {
    of: firstNumber,
    reason,
    ...(unitNumber !== undefined && { unitNumber }),
    date: localDate(at),
  };
  const written = await writeNumbered(archive, jobId, jobFolder.value, reprint, (output) =>
    work.run('reprint', { ...request, output }, tools),
  );
  if (!written.ok) return written;
  const { number, folder } = written.value;
  const kept = await keepOutput(archive, {
    number,
    jobId,
    kind: 'reprint',
    reprintOf: firstNumber,
    ...(unitNumber !== undefined && { unitNumber }),
    reason,
    at,
    document,
    artworkSha256,
    folder,
    files: written.value.files,
  });
  if (!kept.ok) return kept;
  const panelIds = files.value.flatMap(({ panelId }) => panelId ?? []);
  const toVerify = { ...written.value, id: kept.value.id, job: job.value, artwork, panelIds };
  const verified = await verifyWritten({ archive, work }, toVerify, tools);
  const remarks = [...written.value.remarks, ...verified.remarks];
  const { verification, files: changed } = verified;
  return resultOk({
    ...written.value,
    verification,
    remarks,
    files: changed,
    kept: { ...kept.value, verification, files: [...changed] },
  });
}

/** The day at this shop, `2026-11-27`. */
export function localDate(at: string): string {
  const day = new Date(at);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
}

export function filesOfPanels(
  { number, files }: ArchivedOutput,
  labels: readonly string[],
): Result<OutputFile[]> {
  const panels = files.filter(({ kind }) => kind === 'panel');
  const chosen: OutputFile[] = [];
  for (const label of new Set(labels)) {
    const file = panels.find(({ panelLabel }) => panelLabel === label);
    if (!file) {
      return resultProblem({
        code: 'panel-unknown',
        message: `Output ${number} wrote no panel ${label}.`,
        remedy: `Select from: ${panels.map(({ panelLabel }) => panelLabel).join(', ')}.`,
      });
    }
    chosen.push(file);
  }
  return resultOk(chosen);
}
