/** The parts of an archive, for either database. */
import { StoredActuals } from './actuals.ts';
import { type OwnChecks, StoredChecks } from './checks.ts';
import { StoredComparisons } from './comparisons.ts';
import { StoredDeletions } from './deletions.ts';
import { StoredJobs } from './jobs.ts';
import { StoredNotes } from './notes.ts';
import { StoredOutputs } from './outputs.ts';
import type { Archive, Jobs } from './port.ts';
import { StoredShelf } from './shelf.ts';
import type { Store } from './sql.ts';
import { StoredStock } from './stock.ts';
import type { FileVault } from './vault.ts';

/** An open archive, with its store. */
export interface OpenedArchive {
  readonly archive: Archive;
  readonly store: Store;
  readonly vault: FileVault;
}

export interface RoomParts {
  readonly store: Store;
  readonly vault: FileVault;
  /** Reads the list of jobs, which each database finds by different indexes. */
  readonly page: Jobs['page'];
  readonly own: OwnChecks;
}

export const archiveRooms = ({
  store,
  vault,
  page,
  own,
}: RoomParts): Omit<Archive, 'folder' | 'isReadOnly' | 'close' | 'openJobs' | 'watch'> => ({
  jobs: new StoredJobs(store, page),
  outputs: new StoredOutputs(store),
  vault,
  checks: new StoredChecks(store, vault, own),
  deletions: new StoredDeletions(store, vault),
  shelf: new StoredShelf(store),
  notes: new StoredNotes(store),
  stock: new StoredStock(store),
  actuals: new StoredActuals(store),
  comparisons: new StoredComparisons(store),
});
