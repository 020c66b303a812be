import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { jobFromJson } from '../../core/job/job-json.ts';
import { present } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { manifestWithStatus } from '../../core/output/manifest.ts';
import { VERDICT_WORDS } from '../../core/output/verdict.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { ArchivedOutput } from '../archive/port.ts';
import { tryFiles } from '../files/file-problem.ts';
import { sha256Hex } from '../files/sha256.ts';
import { MANIFEST_NAME } from '../files/staged-folder.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault } from './artwork-in-vault.ts';
import { readKeptManifest } from './kept-manifest.ts';
import type { ActParts } from './service-parts.ts';
import { keepVerdict, verificationOf } from './verify-written.ts';

export interface VerifiedOutput {
  readonly verification: OutputVerification;
  /** What there is to say about its sheets and `current`. */
  readonly remarks: readonly string[];
}

/**
 * Verifies the files of a kept output in their folder; this can be repeated at any time. Where it fails to run, the
 * earlier result stays and the problem is returned. The result is about the files that the archive knows: a folder with
 * another manifest is refused.
 */
export async function verifyOutput(
  { archive, work }: Pick<ActParts, 'archive' | 'work'>,
  outputId: number,
  passwordOf: (artworkSha256: string) => string | undefined,
  tools: TaskTools,
): Promise<Result<VerifiedOutput>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const { number, document, artworkSha256, folder, files } = output.value;
  const job = jobFromJson(document);
  if (!job.ok) return job;
  const manifest = await readKeptManifest(archive.vault, output.value);
  if (!manifest.ok) return manifest;
  const unchanged = await manifestUnchanged(output.value);
  if (!unchanged.ok) return unchanged;
  // The artwork that the output was cut from, whatever the job has now.
  const reference = { ...present(job.value.artwork, 'The artwork of a job'), sha256: artworkSha256 };
  const artwork = await artworkInVault(archive, reference, passwordOf(artworkSha256));
  const panelIds = files.flatMap((file) => file.panelId ?? []);
  const written = {
    id: outputId,
    number,
    folder,
    manifest: manifest.value,
    files,
    job: job.value,
    artwork,
    panelIds,
  };
  const report = await verificationOf({ work }, written, tools);
  if (!report.ok) return report;
  const { verification, remarks } = await keepVerdict({ archive }, written, report.value, tools);
  return resultOk({ verification, remarks });
}

async function manifestUnchanged({ number, folder, files }: ArchivedOutput): Promise<Result<void>> {
  const kept = files.find(({ kind }) => kind === 'manifest');
  const path = join(folder, MANIFEST_NAME);
  return await tryFiles(path, async () => {
    // The verification reports one that is missing.
    const found = await readFile(path, 'utf8').catch(ignoreAbsence);
    return found === undefined || hashesOfWords(found).includes(kept?.sha256)
      ? resultOk(undefined)
      : resultProblem(manifestChanged(number, path));
  });
}

/** A kill may have left the word of another verdict. */
const hashesOfWords = (text: string): (string | undefined)[] =>
  Object.values(VERDICT_WORDS).map((word) =>
    sha256Hex(new TextEncoder().encode(manifestWithStatus(text, word))),
  );

function ignoreAbsence(error: unknown): undefined {
  if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
  return undefined;
}

const manifestChanged = (number: number, path: string): Problem => ({
  code: 'file-changed',
  message: `${path} is not the manifest that Output ${number} was written with.`,
  remedy: `Reprint the panels of Output ${number} from the archive, or write the output again.`,
});
