import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import { ServiceClient } from './service-client.ts';
import { smallArtwork, smallJob } from './small-job.ts';
import { testServices } from './test-services.ts';

/** Writes the small job with its artwork as a job file; returns its path. */
export async function smallBundle(
  folder: string,
  over: Partial<Job> & Pick<Job, 'id' | 'number'>,
): Promise<string> {
  const art = join(folder, 'small.pdf');
  mkdirSync(folder, { recursive: true });
  writeFileSync(art, await smallArtwork());
  const services = await testServices(join(folder, `archive of ${over.id}`));
  const client = new ServiceClient(services);
  const { reference } = await client.reply('artwork:import', { file: client.chosenFile(art), box: 'trim' });
  await client.reply('job:save', { job: smallJob({ artwork: reference, ...over }), baseRevision: 0 });
  const { fileName } = await client.reply('job:export', { id: over.id, folder: client.chosenFolder(folder) });
  await services.close();
  return join(folder, fileName);
}
