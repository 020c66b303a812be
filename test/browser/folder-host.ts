import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { type LoopbackHost, startLoopbackHost } from '../../main/loopback/host.ts';
import type { Services } from '../../main/services/services.ts';
import { forkTaskProcess } from '../../main/tasks/forked-process.ts';
import { ProcessTasks, type TaskRunner } from '../../main/tasks/task-runner.ts';
import { testServices } from '../support/test-services.ts';
import { keepTestShop } from '../support/test-shop.ts';

export interface FolderHost {
  readonly services: Services;
  readonly host: LoopbackHost;
  readonly outputFolder: string;
}

/**
 * The loopback host with its archive, its output and its uploads in one folder. Without `tasks`, it starts processes of its
 * own. `isFirstStart`: nobody has set up the shop yet.
 */
export async function startFolderHost(
  screensFolder: string,
  folder: string,
  tasks: () => TaskRunner = () => new ProcessTasks(forkTaskProcess),
  port = 0,
  isFirstStart = false,
): Promise<FolderHost> {
  const outputFolder = join(folder, 'output');
  const services = await testServices(join(folder, 'archive'), {
    chooseFolder: async () => {
      await mkdir(outputFolder, { recursive: true });
      return outputFolder;
    },
    tasks,
    now: () => new Date().toISOString(),
  });
  const { isReadOnly, shelf } = services.archive;
  const isSetUp = isFirstStart || isReadOnly || (await shelf.items()).profile !== undefined;
  if (!isSetUp) await keepTestShop(services.archive);
  const host = await startLoopbackHost({
    handlers: services.handlers,
    chosen: services.chosen,
    releaseClient: services.releaseClient,
    screensFolder,
    uploadFolder: join(folder, 'uploads'),
    port,
  });
  return { services, host, outputFolder };
}
