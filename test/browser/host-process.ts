/**
 * The loopback host as a process of its own, so that it can be killed: `node host-process.ts <screens> <folder>`. The
 * archive, the output and the uploads lie in the folder. Prints its address.
 */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { loopbackHostStarted } from '../../main/loopback/host.ts';
import { testServices } from '../support/test-services.ts';

const [screensFolder, folder] = process.argv.slice(2) as [string, string];
const outputFolder = join(folder, 'output');
const services = testServices(join(folder, 'archive'), {
  chooseFolder: async () => {
    await mkdir(outputFolder, { recursive: true });
    return outputFolder;
  },
  now: () => new Date().toISOString(),
});
const host = await loopbackHostStarted({
  handlers: services.handlers,
  chosen: services.chosen,
  screensFolder,
  uploadFolder: join(folder, 'uploads'),
});
console.log(host.url);
