import type { ContractVerb } from '../../core/contract.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { Archive } from '../archive/archive.ts';
import { type ArchiveProblem, databaseTried } from '../archive/database.ts';
import { ChosenFiles } from '../contract/chosen-files.ts';
import type { Handler, Handlers } from '../contract/handlers.ts';
import { WorkThread } from '../work/work-thread.ts';
import { ArtworkPictures } from './artwork-pictures.ts';
import type { Dialogs } from './dialogs.ts';
import { serviceHandlers } from './handlers.ts';
import { JobLocks } from './job-locks.ts';
import { PreviewCache } from './preview-cache.ts';

export interface Services {
  readonly archive: Archive;
  readonly handlers: Handlers;
  readonly chosen: ChosenFiles;
  /** A window or browser tab has gone: its locks and chosen files go with it. */
  clientLeft(clientId: string): void;
  /** Starts what the first artwork will need, so that nobody waits for it then. */
  warm(): void;
  close(): Promise<void>;
}

export interface ServiceOptions {
  readonly archiveFolder: string;
  readonly host: 'desktop' | 'browser';
  readonly dialogs: Dialogs;
  readonly now: () => string;
}

/** Everything that stands behind the screens, for either shell. */
export function servicesStarted(options: ServiceOptions): Result<Services, ArchiveProblem> {
  const opened = Archive.open(options.archiveFolder);
  if (!opened.ok) return opened;
  const archive = opened.value;
  const chosen = new ChosenFiles();
  const locks = new JobLocks();
  const work = new WorkThread();
  const planning = new WorkThread();
  const previews = new PreviewCache(options.archiveFolder);
  void previews.sweep();
  const pictures = new ArtworkPictures(archive.vault, work, previews);
  const { dialogs, host, now } = options;
  return resultOk({
    archive,
    chosen,
    handlers: handlersOnDatabase(
      serviceHandlers({ archive, dialogs, chosen, locks, work, planning, pictures, host, now }),
      Archive.databasePath(options.archiveFolder),
    ),
    clientLeft: (clientId) => {
      locks.releaseAll(clientId);
      chosen.forget(clientId);
    },
    warm: () => work.warm(),
    close: async () => {
      await Promise.all([work.close(), planning.close(), pictures.close()]);
      archive.close();
    },
  });
}

/** Any of them may meet a disk that has filled up under the database. */
function handlersOnDatabase(handlers: Handlers, path: string): Handlers {
  const tried = (handler: Handler<ContractVerb>): Handler<ContractVerb> => {
    return (request, context) => databaseTried(path, () => handler(request, context));
  };
  return Object.fromEntries(
    Object.entries(handlers).map(([verb, handler]) => [verb, tried(handler as Handler<ContractVerb>)]),
  ) as unknown as Handlers;
}
