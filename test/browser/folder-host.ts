import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { type LoopbackHost, loopbackHostStarted } from '../../main/loopback/host.ts';
import type { Services } from '../../main/services/services.ts';
import { forkedTaskProcess } from '../../main/tasks/forked-process.ts';
import { ProcessTasks } from '../../main/tasks/task-runner.ts';
import { testServices } from '../support/test-services.ts';

export interface FolderHost {
  readonly services: Services;
  readonly host: LoopbackHost;
  readonly outputFolder: string;
}

/** The loopback host with its archive, its output and its uploads in one folder. */
export async function folderHostStarted(screensFolder: string, folder: string): Promise<FolderHost> {
  const outputFolder = join(folder, 'output');
  const services = await testServices(join(folder, 'archive'), {
    chooseFolder: async () => {
      await mkdir(outputFolder, { recursive: true });
      return outputFolder;
    },
    tasks: () => new ProcessTasks(forkedTaskProcess),
    now: () => new Date().toISOString(),
  });
  const host = await loopbackHostStarted({
    handlers: services.handlers,
    chosen: services.chosen,
    screensFolder,
    uploadFolder: join(folder, 'uploads'),
  });
  return { services, host, outputFolder };
}
