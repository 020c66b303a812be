import { join } from 'node:path';
import { documentStamped } from '../../core/drawing/document-stamp.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { filmPanels } from '../../core/output/film-panels.ts';
import { jobOfReprint } from '../../core/output/reprint-layouts.ts';
import { recordWithLots } from '../../core/output/used-roll.ts';
import { STAMP_WORDS, VERDICT_WORDS } from '../../core/output/verdict.ts';
import type { ArchivedOutput } from '../archive/port.ts';
import { writeOwnDocument } from '../files/own-document.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault } from './artwork-in-vault.ts';
import { readKeptManifest } from './kept-manifest.ts';
import type { ActParts } from './service-parts.ts';
import { shopLogo } from './shop-logo.ts';

/** The ticket of a past output with what was entered of it, to a folder of the person's choice. */
export async function saveTicketAgain(
  { archive, work }: Pick<ActParts, 'archive' | 'work'>,
  { outputId, to }: { readonly outputId: number; readonly to: string },
  passwordOf: (artworkSha256: string) => string | undefined,
  tools: TaskTools,
): Promise<
  Result<{ readonly path: string; readonly fileName: string; readonly remarks: readonly string[] }>
> {
  const found = await archive.outputs.find(outputId);
  if (!found.ok) return found;
  const { jobId, document, artworkSha256, record, usedRolls, kind, reprintOf, unitNumber, verification } =
    found.value;
  const job = jobFromJson(document);
  if (!job.ok) return job;
  const manifest = await readKeptManifest(archive.vault, found.value);
  if (!manifest.ok) return manifest;
  const reference = { ...present(job.value.artwork, 'The artwork of a job'), sha256: artworkSha256 };
  const artwork = await artworkInVault(archive, reference, passwordOf(artworkSha256));
  if (!artwork.ok) return artwork;
  const first = reprintOf === undefined ? undefined : await archive.outputs.findNumbered(jobId, reprintOf);
  const printed = kind === 'reprint' ? jobOfReprint(job.value, unitNumber) : job.value;
  const panels = manifest.value.panels.map(({ panelId, label, patch }) => ({
    panelId: patch?.of ?? panelId,
    label,
  }));
  const request = {
    job: job.value,
    artwork: artwork.value,
    archiveFolder: archive.folder,
    manifest: manifest.value,
    record: recordWithLots(record, usedRolls, filmPanels(printed, panels)) ?? {},
    firstRecord: first?.ok
      ? recordWithLots(
          first.value.record,
          first.value.usedRolls,
          filmPanels(printed, originalsOf(panels, first.value)),
          unitNumber,
        )
      : undefined,
    logo: await shopLogo(archive),
  };
  const drawn = await work.run('ticketAgain', request, tools);
  if (!drawn.ok) return drawn;
  const { sheet, remarks } = drawn.value;
  const bytes = documentStamped(sheet.bytes, STAMP_WORDS, VERDICT_WORDS[verification.state]) ?? sheet.bytes;
  const path = join(to, sheet.name);
  const written = await writeOwnDocument(path, bytes);
  return written.ok ? resultOk({ path, fileName: sheet.name, remarks }) : written;
}

/** With their labels in the first output: a patch was a part of its panel then. */
const originalsOf = (
  panels: readonly { readonly panelId: string; readonly label: string }[],
  { files }: ArchivedOutput,
) =>
  panels.map(({ panelId, label }) => ({
    panelId,
    label: files.find((file) => file.panelId === panelId)?.panelLabel ?? label,
  }));
