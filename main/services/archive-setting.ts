/** Which archive the programs of this user open at their next start. */
import { isAbsolute } from 'node:path';
import type { ContractReply } from '../../core/contract/contract.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { openArchive } from '../archive/archive.ts';
import { archivePlace, isPostgresPlace } from '../archive/archive-folder.ts';
import { keepPlace, keptPlace } from '../archive/kept-place.ts';
import { postgresPlace, shownPlace } from '../archive/postgres-place.ts';
import { tryFiles } from '../files/file-problem.ts';

type ArchiveSetting = ContractReply<'archive:setting'>;

export function readArchiveSetting(place: string, file: string): ArchiveSetting {
  const kept = keptPlace(file);
  return {
    now: shownPlace(place),
    vault: vaultOf(place),
    next: kept === undefined ? null : { place: shownPlace(kept), vault: vaultOf(kept) },
    isSetAtStart: process.env.PANELWRIGHT_ARCHIVE !== undefined,
  };
}

const vaultOf = (place: string): string | null =>
  isPostgresPlace(place) && URL.canParse(place) ? new URL(place).searchParams.get('vault') : null;

/**
 * Keeps the archive for the next start, once it was opened: one that cannot be would keep the program from starting. An
 * address has the vault in `folder`; without both, the usual archive is used again.
 */
export async function keepArchiveSetting(
  { address, folder }: { readonly address: string | undefined; readonly folder: string | undefined },
  file: string,
): Promise<Result<void>> {
  const place = address === undefined ? folder : archivePlace(address.trim(), folder);
  if (address !== undefined && !isPostgresPlace(address.trim())) return resultProblem(noAddress);
  if (place !== undefined) {
    const found = isPostgresPlace(place) ? postgresPlace(place) : undefined;
    if (found && !found.ok) return found;
    if (!found && !isAbsolute(place)) return resultProblem(noAddress);
    const opened = await openArchive(place, { putsOffCheck: true });
    if (!opened.ok) return opened;
    await opened.value.close();
  }
  return await tryFiles(file, async () => {
    await keepPlace(file, place);
    return resultOk(undefined);
  });
}

const noAddress: Problem = {
  code: 'archive-place-unreadable',
  message: 'That is no address of a shared archive.',
  remedy: 'Write it as postgres://server/database.',
};
