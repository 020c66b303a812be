import type { ContractReply } from '../../core/contract/contract.ts';
import type { Archive } from '../archive/port.ts';
import type { ChosenFiles } from '../contract/chosen-files.ts';
import type { SeatQueue } from '../queue/seat-queue.ts';
import type { PreviewCache } from '../render/preview-cache.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import type { ArtworkPictures } from './artwork-pictures.ts';
import type { Dialogs } from './dialogs.ts';
import type { PanelPictures } from './panel-pictures.ts';

/** What every act works with, whichever shell asks. */
export interface ActParts {
  readonly archive: Archive;
  readonly work: TaskRunner;
  /** Another, so that a long plan keeps no artwork waiting. */
  readonly planning: TaskRunner;
  /** ISO date-time. */
  readonly now: () => string;
}

/** What the services of the screens work with besides. */
export interface ServiceParts extends ActParts {
  readonly dialogs: Dialogs;
  readonly chosen: ChosenFiles;
  /** How many changes of the archive this program has heard of. */
  readonly changes: () => number;
  readonly pictures: ArtworkPictures;
  readonly panels: PanelPictures;
  readonly previews: PreviewCache;
  readonly host: 'desktop' | 'browser';
  /** Where the log of the day lies. */
  readonly logFolder: string;
  readonly watching: Watching;
  /** The archive as it was named at the start. */
  readonly place: string;
  /** Where it is kept which archive the next start opens. */
  readonly placeFile: string;
  /** Of a shared archive. */
  readonly queue: SeatQueue | undefined;
}

/** The folder that this program watches for artwork. */
interface Watching {
  readonly state: ContractReply<'watch:state'>;
  /** Watches another folder, or none. */
  set(folder: string | undefined): Promise<ContractReply<'watch:state'>>;
}
