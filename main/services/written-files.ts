import type { OutputFile } from '../../core/contract/output-summary.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';

/** The files of an output where they lie, to be verified. */
export interface Written {
  /** In the archive; absent where it keeps none. */
  readonly id?: number;
  readonly number: number;
  readonly folder: string;
  readonly manifest: Manifest;
  readonly files: readonly OutputFile[];
  /** As it was printed. */
  readonly job: Job;
  /** A problem where it is lost. */
  readonly artwork: Result<ArtworkAt>;
  /** Panels that were to be written; absent: all. */
  readonly panelIds?: readonly string[] | undefined;
}
