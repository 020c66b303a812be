/** Roll plans that several jobs of the archive share: which go together, how they are laid, and the sheet of it. */
import { join } from 'node:path';
import type { ContractReply, ContractRequest } from '../../core/contract/contract.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { fileNameStem } from '../../core/output/file-name.ts';
import { filmGroups, filmsApart } from '../../core/production/shared-film.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import type { Archive } from '../archive/port.ts';
import type { AskContext } from '../contract/handlers.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { filesTried } from '../files/file-problem.ts';
import { sha256Hex } from '../files/sha256.ts';
import { storedJob } from './job-archive.ts';
import type { ServiceParts } from './service-parts.ts';

export async function jobsByFilm(
  archive: Archive,
  jobIds: readonly string[],
): Promise<Result<ContractReply<'rolls:films'>>> {
  const jobs = await archivedJobs(archive, jobIds);
  if (!jobs.ok) return jobs;
  return resultOk({ groups: [...filmGroups(jobs.value)], apart: [...filmsApart(jobs.value)] });
}

export async function rollsShared(
  { archive, planning }: ServiceParts,
  { jobIds, ...request }: ContractRequest<'rolls:share'>,
  context: AskContext,
): Promise<Result<SharedRolls>> {
  const jobs = await archivedJobs(archive, jobIds);
  return jobs.ok ? await planning.run('sharedRolls', { jobs: jobs.value, ...request }, context) : jobs;
}

/** An earlier sheet of the same jobs gives way to the new one. */
export async function sharedRollsWritten(
  { archive, chosen, planning }: ServiceParts,
  { jobIds, folder, ...request }: ContractRequest<'rolls:write'>,
  context: AskContext,
): Promise<Result<ContractReply<'rolls:write'>>> {
  const target = chosen.path(folder, 'folder', context.clientId);
  if (!target.ok) return target;
  const jobs = await archivedJobs(archive, jobIds);
  if (!jobs.ok) return jobs;
  const sheet = await planning.run('sharedRollSheet', { jobs: jobs.value, ...request }, context);
  if (!sheet.ok) return sheet;
  const fileName = sheetName(jobs.value);
  return await filesTried(target.value, async () => {
    await writeFileAtomically(join(target.value, fileName), sheet.value);
    return resultOk({ fileName });
  });
}

const MOST_NAMED = 4;

/** `roll-plan_VAN-17_VAN-18.pdf`; of many jobs the first two, how many more, and what tells them from other such jobs. */
function sheetName(jobs: readonly Job[]): string {
  const stem = (numbers: readonly string[]) => fileNameStem(`roll-plan_${numbers.join('_')}`);
  const numbers = jobs.map(({ number }) => number);
  if (numbers.length <= MOST_NAMED && numbers.join('_').length <= 40) return `${stem(numbers)}.pdf`;
  const ids = sha256Hex(new TextEncoder().encode(jobs.map(({ id }) => id).join('\n')));
  return `${stem(numbers.slice(0, 2))}_and-${numbers.length - 2}-more_${ids.slice(0, 8)}.pdf`;
}

async function archivedJobs(archive: Archive, jobIds: readonly string[]): Promise<Result<Job[]>> {
  const jobs: Job[] = [];
  for (const id of jobIds) {
    const stored = await storedJob(archive, id);
    if (!stored.ok) return stored;
    jobs.push(stored.value.job);
  }
  return resultOk(jobs);
}
