import type { Archive } from '../archive/port.ts';
import type { ChosenFiles } from '../contract/chosen-files.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import type { ArtworkPictures } from './artwork-pictures.ts';
import type { Dialogs } from './dialogs.ts';
import type { JobLocks } from './job-locks.ts';

/** What the services of one archive work with. */
export interface ServiceParts {
  readonly archive: Archive;
  readonly dialogs: Dialogs;
  readonly chosen: ChosenFiles;
  readonly locks: JobLocks;
  readonly work: TaskRunner;
  /** Another, so that a long plan keeps no artwork waiting. */
  readonly planning: TaskRunner;
  readonly pictures: ArtworkPictures;
  readonly host: 'desktop' | 'browser';
  /** ISO date-time. */
  readonly now: () => string;
}
