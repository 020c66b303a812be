import { hostname } from 'node:os';
import type { ContractVerb } from '../../core/contract/contract.ts';
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { openArchive } from '../archive/archive.ts';
import { isPostgresPlace } from '../archive/archive-folder.ts';
import { keptPlaceFile } from '../archive/kept-place.ts';
import { type Archive, type ArchiveProblem, tryArchive } from '../archive/port.ts';
import { ChosenFiles } from '../contract/chosen-files.ts';
import type { Handler, Handlers } from '../contract/handlers.ts';
import { defaultLogFolder, type Log } from '../files/day-log.ts';
import { QueueTasks } from '../queue/queue-tasks.ts';
import { SeatQueue } from '../queue/seat-queue.ts';
import { PreviewCache } from '../render/preview-cache.ts';
import { loggedTasks } from '../tasks/logged-tasks.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import { ArtworkPictures } from './artwork-pictures.ts';
import type { Dialogs } from './dialogs.ts';
import { FolderWatching } from './folder-watching.ts';
import { serviceHandlers } from './handlers.ts';
import { PanelPictures } from './panel-pictures.ts';
import { artworkTaker } from './take-artwork.ts';
import { correctedTaker } from './take-corrected.ts';

export interface Services {
  readonly archive: Archive;
  readonly handlers: Handlers;
  readonly chosen: ChosenFiles;
  /** A window or browser tab has gone: its locks and chosen files go with it. */
  releaseClient(clientId: string): void;
  /** Starts what the first artwork will need, so that no screen waits for it then. */
  warm(): void;
  close(): Promise<void>;
}

export interface ServiceOptions {
  /** Of the archive, or the address of a shared one. */
  readonly archiveFolder: string;
  /** Where it is kept which archive the next start opens; absent: where the system has settings. */
  readonly placeFile?: string;
  readonly host: 'desktop' | 'browser';
  readonly dialogs: Dialogs;
  /** How heavy work is done; asked once for each kind that keeps no other waiting. */
  readonly tasks: () => TaskRunner;
  readonly now: () => string;
  /** Folder of the daily log, and its writer; absent: nothing is logged. */
  readonly logs?: { readonly folder: string; readonly log: Log };
}

/** The services behind the screens, for either shell. */
export async function startServices(options: ServiceOptions): Promise<Result<Services, ArchiveProblem>> {
  const opened = await openArchive(options.archiveFolder, { putsOffCheck: true, listsAside: true });
  if (!opened.ok) return opened;
  const archive = opened.value;
  let trouble: ArchiveProblem | undefined;
  void archive.checks.startupCheck?.then((found) => {
    trouble = found;
  });
  const chosen = new ChosenFiles();
  let changes = 0;
  const unwatch = archive.watch(() => changes++);
  const { logs } = options;
  const shared = isPostgresPlace(options.archiveFolder) && !archive.isReadOnly;
  const queue = shared ? new SeatQueue(options.archiveFolder, logs?.log) : undefined;
  const tasks = (isBackground = false) => {
    const local = options.tasks();
    const runner = queue ? new QueueTasks({ queue, local, isBackground, log: logs?.log }) : local;
    return logs ? loggedTasks(runner, logs.log) : runner;
  };
  const work = tasks();
  const planning = tasks();
  const previews = new PreviewCache(archive.folder);
  void previews.sweep().catch(() => undefined);
  const pictures = new ArtworkPictures(archive.vault, work, previews);
  const panels = new PanelPictures();
  const { dialogs, host, now } = options;
  // A worker of its own, so that it does not delay the screens.
  const watchWork = tasks(true);
  const watchParts = { archive, work: watchWork, planning: watchWork, now };
  const takers = [correctedTaker, artworkTaker(shopDefaults(locale()))];
  const watching = new FolderWatching(watchParts, takers, queue && hostname());
  void watching.resume();
  return resultOk({
    archive,
    chosen,
    handlers: handlersOnDatabase(
      serviceHandlers({
        archive,
        dialogs,
        chosen,
        changes: () => changes,
        work,
        planning,
        pictures,
        panels,
        previews,
        host,
        now,
        watching,
        queue,
        place: options.archiveFolder,
        placeFile: options.placeFile ?? keptPlaceFile(),
        logFolder: logs?.folder ?? defaultLogFolder(),
      }),
      () => trouble,
    ),
    releaseClient: (clientId) => {
      void archive.openJobs.releaseAll(clientId).catch(() => undefined);
      chosen.forget(clientId);
    },
    warm: () => {
      work.warm();
      pictures.warm();
    },
    close: async () => {
      unwatch();
      await watching.close();
      await Promise.all([
        watchWork.close(),
        work.close(),
        planning.close(),
        pictures.close(),
        panels.close(),
      ]);
      await queue?.close();
      await archive.close();
    },
  });
}

const locale = (): string => Intl.DateTimeFormat().resolvedOptions().locale;

/** What a shell needs to show anything at all. */
const ALWAYS_ANSWERED: readonly string[] = ['app:info'] satisfies ContractVerb[];

/**
 * Any of them may find the disk full. Once the check of a database has found damage, it is no longer read or written,
 * and every reply says so.
 */
function handlersOnDatabase(handlers: Handlers, trouble: () => ArchiveProblem | undefined): Handlers {
  const guarded = (verb: string, handler: Handler<ContractVerb>): Handler<ContractVerb> => {
    return async (request, context) => {
      const found = ALWAYS_ANSWERED.includes(verb) ? undefined : trouble();
      return found ? resultProblem(found) : await tryArchive(() => handler(request, context));
    };
  };
  return Object.fromEntries(
    Object.entries(handlers).map(([verb, handler]) => [
      verb,
      guarded(verb, handler as Handler<ContractVerb>),
    ]),
  ) as unknown as Handlers;
}
