/** A patch of a damaged panel of a past output, from the artwork that the panel was cut from. */
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Patch } from '../../core/layout/patch.ts';
import { firstOf, present } from '../../core/measure/present.ts';
import type { Rect } from '../../core/measure/rect.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { filmPanels } from '../../core/output/film-panels.ts';
import { jobOfReprint } from '../../core/output/reprint-layouts.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { recordWithLots } from '../../core/output/used-roll.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import { jobFolderIn } from '../files/job-folder.ts';
import type { PatchPlace, StagedPatch } from '../tasks/patch.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault } from './artwork-in-vault.ts';
import { keepOutput } from './keep-output.ts';
import { readKeptManifest } from './kept-manifest.ts';
import { type Placed, writeNumbered } from './number-output.ts';
import { filesOfPanels, localDate } from './reprint-panels.ts';
import { reprintVehicle } from './reprint-vehicle.ts';
import type { ActParts } from './service-parts.ts';
import { shopLogo } from './shop-logo.ts';
import { verifyWritten } from './verify-written.ts';

export interface PatchOrderOf {
  readonly outputId: number;
  readonly panelLabel: string;
  /** Finished mm on the side. */
  readonly damage: Rect<'finished'>;
}

export interface PatchToWrite extends PatchOrderOf {
  /** The vehicle that it is for; absent where the job has one. */
  readonly unitNumber?: string | undefined;
  readonly reason: string;
  /** The folder of the job is made in it; see main/files/job-folder.ts. */
  readonly to: string;
  readonly sheets: readonly SheetKind[];
}

export interface WrittenPatch extends Placed<StagedPatch> {
  readonly kept: ArchivedOutput;
  readonly verification: OutputVerification;
}

type PasswordOf = (artworkSha256: string) => string | undefined;

/** Where the patch would lie; nothing is written. */
export async function planPatch(
  { archive, planning }: Pick<ActParts, 'archive' | 'planning'>,
  order: PatchOrderOf,
  passwordOf: PasswordOf,
  tools: TaskTools,
): Promise<Result<Patch>> {
  const place = await patchPlace(archive, order, passwordOf);
  if (!place.ok) return place;
  return await planning.run('patchPlan', place.value.place, tools);
}

export async function patchPanel(
  { archive, work, now }: Pick<ActParts, 'archive' | 'work' | 'now'>,
  order: PatchToWrite,
  passwordOf: PasswordOf,
  tools: TaskTools,
): Promise<Result<WrittenPatch>> {
  const found = await patchPlace(archive, order, passwordOf);
  if (!found.ok) return found;
  const { place, first, job } = found.value;
  const manifest = await readKeptManifest(archive.vault, first);
  if (!manifest.ok) return manifest;
  const damaged = manifest.value.panels.filter(({ label }) => label === order.panelLabel);
  const vehicle = reprintVehicle(job, damaged, order.unitNumber);
  if (!vehicle.ok) return vehicle;
  const ofVehicle = vehicle.value === undefined ? {} : { unitNumber: vehicle.value };
  const jobFolder = await jobFolderIn(order.to, job);
  if (!jobFolder.ok) return jobFolder;
  const at = now();
  const { reason, sheets } = order;
  const reprint = { of: first.number, reason, ...ofVehicle, date: localDate(at) };
  const request = {
    ...place,
    ...ofVehicle,
    sheets,
    jobFolder: jobFolder.value,
    logo: await shopLogo(archive),
    firstRecord: recordWithLots(
      first.record,
      first.usedRolls,
      filmPanels(jobOfReprint(job, vehicle.value), damaged),
      vehicle.value,
    ),
  };
  const written = await writeNumbered(archive, first.jobId, jobFolder.value, reprint, (output) =>
    work.run('patch', { ...request, output }, tools),
  );
  if (!written.ok) return written;
  const { number, folder, files, patch } = written.value;
  const kept = await keepOutput(archive, {
    number,
    jobId: first.jobId,
    kind: 'reprint',
    reprintOf: first.number,
    ...ofVehicle,
    reason,
    at,
    document: first.document,
    artworkSha256: first.artworkSha256,
    folder,
    files,
  });
  if (!kept.ok) return kept;
  const toVerify = {
    ...written.value,
    id: kept.value.id,
    job,
    artwork: resultOk(place.artwork),
    panelIds: [patch.id],
  };
  const { verification, ...verified } = await verifyWritten({ archive, work }, toVerify, tools);
  return resultOk({
    ...written.value,
    verification,
    files: verified.files,
    remarks: [...written.value.remarks, ...verified.remarks],
    kept: { ...kept.value, verification, files: [...verified.files] },
  });
}

interface FoundPlace {
  readonly first: ArchivedOutput;
  readonly job: Job;
  readonly place: PatchPlace;
}

async function patchPlace(
  archive: Archive,
  { outputId, panelLabel, damage }: PatchOrderOf,
  passwordOf: PasswordOf,
): Promise<Result<FoundPlace>> {
  const first = await archive.outputs.find(outputId);
  if (!first.ok) return first;
  const { jobId, document, artworkSha256 } = first.value;
  const job = jobFromJson(document);
  if (!job.ok) return job;
  const files = filesOfPanels(first.value, [panelLabel]);
  if (!files.ok) return files;
  const panelId = present(firstOf(files.value).panelId, 'The panel of a patch');
  const artwork = await artworkInVault(
    archive,
    { ...present(job.value.artwork, 'The artwork of a job'), sha256: artworkSha256 },
    passwordOf(artworkSha256),
  );
  if (!artwork.ok) return artwork;
  const place = {
    job: job.value,
    artwork: artwork.value,
    archiveFolder: archive.folder,
    panelId,
    damage,
    number: 1 + (await patchesOf(archive, jobId, panelId)),
  };
  return resultOk({ first: first.value, job: job.value, place });
}

/** The highest number that a patch of the panel has. */
async function patchesOf({ outputs }: Archive, jobId: string, panelId: string): Promise<number> {
  const start = `${panelId}-patch-`;
  const numbers = (await outputs.list(jobId)).flatMap(({ files }) =>
    files.flatMap((file) =>
      file.panelId?.startsWith(start) ? Number(file.panelId.slice(start.length)) : [],
    ),
  );
  return Math.max(0, ...numbers.filter(Number.isInteger));
}
