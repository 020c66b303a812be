import type { Dialog } from 'electron';
import { setArchiveAside } from '../archive/archive.ts';
import { type ServiceOptions, type Services, startServices } from '../services/services.ts';

/** Starts the services; undefined where they cannot. A damaged archive is set aside only when the user says so. */
export async function beginServices(
  options: ServiceOptions,
  dialog: Pick<Dialog, 'showMessageBox' | 'showErrorBox'>,
): Promise<Services | undefined> {
  let services = await startServices(options);
  if (!services.ok && services.problem.code === 'archive-damaged') {
    const { response } = await dialog.showMessageBox({
      type: 'warning',
      message: services.problem.message,
      detail:
        'It can be kept under another name while a new, empty archive is begun. Nothing is deleted; a backup can be restored later.',
      buttons: ['Quit', 'Keep it aside and begin a new archive'],
      defaultId: 0,
      cancelId: 0,
    });
    if (response === 0) return undefined;
    await setArchiveAside(options.archiveFolder, options.now());
    services = await startServices(options);
  }
  if (services.ok) return services.value;
  dialog.showErrorBox(services.problem.message, services.problem.remedy);
  return undefined;
}
