import { type Services, servicesStarted } from '../../main/services/services.ts';

/** The day on which the tests happen. */
export const TEST_NOW = '2026-03-09T10:11:12.000Z';

/** Services over an archive, with a person who closes every dialog, or chooses the folder that is given. */
export function testServices(
  archiveFolder: string,
  {
    now = () => TEST_NOW,
    chooseFolder = async () => undefined,
  }: { readonly now?: () => string; readonly chooseFolder?: () => Promise<string | undefined> } = {},
): Services {
  const started = servicesStarted({
    archiveFolder,
    host: 'browser',
    dialogs: { chooseFile: async () => undefined, chooseFolder, showFolder: async () => undefined },
    now,
  });
  if (!started.ok) throw new Error(started.problem.message);
  return started.value;
}
