import { type ServiceOptions, type Services, startServices } from '../../main/services/services.ts';
import { tasksInPlace } from '../../main/tasks/tasks-in-place.ts';

/** The day on which the tests happen. */
export const TEST_NOW = '2026-03-09T10:11:12.000Z';

/**
 * Services over an archive, with a person who closes every dialog, or chooses the folder that is given. Heavy work is
 * done in place unless said otherwise: starting a process takes longer than most tests.
 */
export async function testServices(
  archiveFolder: string,
  {
    now = () => TEST_NOW,
    chooseFolder = async () => undefined,
    tasks = () => tasksInPlace,
  }: Partial<Pick<ServiceOptions, 'now' | 'tasks'>> & {
    readonly chooseFolder?: () => Promise<string | undefined>;
  } = {},
): Promise<Services> {
  const started = await startServices({
    archiveFolder,
    host: 'browser',
    dialogs: { chooseFiles: async () => [], chooseFolder, showFolder: async () => undefined },
    tasks,
    now,
  });
  if (!started.ok) throw new Error(started.problem.message);
  return started.value;
}
