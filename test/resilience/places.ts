import { join } from 'node:path';

/** Where the victim of a scenario works. Everything lies below one folder, so that nothing strays unseen. */
export interface Places {
  readonly root: string;
  /** Folders of archives: one for all tries, but for the migration one for each try. */
  readonly archive: string;
  readonly migrated: string;
  /** Databases of earlier versions. */
  readonly earlier: string;
  /** Artwork, job files and bundles of the user. */
  readonly work: string;
  readonly out: string;
  /** The system's temporary folder, as far as the victim knows. */
  readonly temporary: string;
}

export const placesIn = (root: string): Places => ({
  root,
  archive: join(root, 'archive'),
  migrated: join(root, 'migrated'),
  earlier: join(root, 'earlier'),
  work: join(root, 'work'),
  out: join(root, 'out'),
  temporary: join(root, 'temporary'),
});

/** What the victim says on its standard output, a line each, after the thing is durable. */
export type VictimLine =
  | { readonly ready: true }
  | { readonly failed: string }
  /** How often files were changed, at the end of all steps. */
  | { readonly fileCalls: number }
  /** This job is kept, in this or a later state. */
  | { readonly job: string; readonly count: number }
  /** This output is in the archive. */
  | { readonly output: number }
  /** This archive was migrated. */
  | { readonly migrated: string };
