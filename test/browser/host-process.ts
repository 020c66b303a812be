/**
 * The loopback host as a process of its own, so that it can be killed: `node host-process.ts <screens> <folder>`. The
 * archive, the output and the uploads lie in the folder. Prints its address.
 */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { loopbackHostStarted } from '../../main/loopback/host.ts';
import { servicesStarted } from '../../main/services/services.ts';

const [screensFolder, folder] = process.argv.slice(2) as [string, string];
const outputFolder = join(folder, 'output');
const services = servicesStarted({
  archiveFolder: join(folder, 'archive'),
  host: 'browser',
  dialogs: {
    chooseFile: async () => undefined,
    chooseFolder: async () => {
      await mkdir(outputFolder, { recursive: true });
      return outputFolder;
    },
    showFolder: async () => undefined,
  },
  now: () => new Date().toISOString(),
});
if (!services.ok) throw new Error(services.problem.message);
const host = await loopbackHostStarted({
  handlers: services.value.handlers,
  chosen: services.value.chosen,
  screensFolder,
  uploadFolder: join(folder, 'uploads'),
});
console.log(host.url);
