import { readFile } from 'node:fs/promises';
import { type Result, resultProblem } from '../../core/measure/result.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import { manifestFromJson } from '../../core/output/manifest-json.ts';
import type { ArchivedOutput, Vault } from '../archive/port.ts';
import { vaultIncomplete } from '../archive/vault-incomplete.ts';

/** The manifest as it was written: the files in the folder may have changed. */
export async function readKeptManifest(
  vault: Vault,
  { number, files }: ArchivedOutput,
): Promise<Result<Manifest>> {
  const original = files.find(({ kind }) => kind === 'manifest');
  if (!original || (await vault.state(original.sha256)) !== 'sound') {
    return resultProblem(vaultIncomplete(`The manifest of Output ${number} is not whole in the archive.`));
  }
  const text = await readFile(await vault.path(original.sha256), 'utf8');
  return manifestFromJson(text, `of Output ${number}`);
}
