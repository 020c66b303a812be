/** `npm run browser`: the screens in an ordinary browser on this machine, on the real archive. */
import { existsSync } from 'node:fs';
import { mkdir, rm } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { Command } from 'commander';
import { archivePlace, defaultArchiveFolder } from '../archive/archive-folder.ts';
import { keepCompiledCode } from '../files/compile-cache.ts';
import { defaultLogFolder, openLog, setUpErrorLog } from '../files/day-log.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { setUpStandardStreams } from '../files/standard-streams.ts';
import { startServices } from '../services/services.ts';
import { forkTaskProcess } from '../tasks/forked-process.ts';
import { ProcessTasks } from '../tasks/task-runner.ts';
import { startLoopbackHost } from './host.ts';

setUpStandardStreams(process, { files: 4, bug: 70 });
// For the processes that do the heavy work.
keepCompiledCode();

const command: Command = new Command('npm run browser --')
  .description('Serves the Panelwright screens to a browser on this machine.')
  .option(
    '--archive <folder>',
    'folder of the archive, or the address of a shared one, such as postgres://server/database',
    defaultArchiveFolder(),
  )
  .option(
    '--vault <folder>',
    'with the address of a shared archive: the folder for its files, which all seats reach',
    process.env.PANELWRIGHT_VAULT,
  )
  .option('--output <folder>', 'folder that output is written to', 'panelwright-output')
  .option('--port <number>', 'port on 127.0.0.1; any free one where absent', Number)
  .parse();
const options = command.opts<{ archive: string; vault?: string; output: string; port?: number }>();

const screensFolder = resolve(import.meta.dirname, '../../dist/screens');
if (!existsSync(join(screensFolder, 'index.html'))) {
  command.error('The screens have not been built yet. Run: npm run build');
}

const now = () => new Date().toISOString();
const logFolder = defaultLogFolder();
const log = openLog(logFolder, now);
setUpErrorLog(process, log);

const outputFolder = resolve(options.output);
const services = await startServices({
  archiveFolder: archivePlace(options.archive, options.vault),
  host: 'browser',
  dialogs: {
    // A browser hands files over by upload, and a page must not name folders: output goes where the start said.
    chooseFiles: async () => [],
    chooseFolder: async () => {
      await mkdir(outputFolder, { recursive: true });
      return outputFolder;
    },
    showFolder: async (folder) => console.log(`Output is in ${folder}`),
  },
  tasks: () => new ProcessTasks(forkTaskProcess),
  now,
  logs: { folder: logFolder, log },
});
if (!services.ok) command.error(`${services.problem.message} ${services.problem.remedy}`);

const uploadFolder = makeScratchFolder('uploads');
const host = await startLoopbackHost({
  handlers: services.value.handlers,
  chosen: services.value.chosen,
  releaseClient: services.value.releaseClient,
  screensFolder,
  uploadFolder,
  ...(options.port !== undefined && { port: options.port }),
});
const showAddress = (): void =>
  console.log(
    `Open Panelwright in one browser tab with this address; it works once:\n${host.entryAddress()}`,
  );
showAddress();
console.log('Press Enter for another address, Ctrl-C to stop.');
const typed = createInterface(process.stdin).on('line', showAddress);

services.value.warm();

for (const signal of ['SIGINT', 'SIGTERM'] as const) {
  process.once(signal, async () => {
    typed.close();
    await host.close();
    await services.value.close();
    await rm(uploadFolder, { recursive: true, force: true });
  });
}
