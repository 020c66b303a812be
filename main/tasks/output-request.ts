import type { ShopLogo } from '../../core/job/shop-profile.ts';
import type { OutputMark } from '../../core/output/output-mark.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import type { JobState } from '../job/job-state.ts';

/** Where the archive has a file of the fill list. */
export interface FillPath {
  readonly sha256: string;
  readonly path: string;
}

/** What an output is asked for. */
export interface OutputRequest {
  readonly state: JobState;
  readonly artwork: OpenedArtwork;
  /** Where the outputs of the job lie, each in a folder of its own. */
  readonly jobFolder: string;
  /** Panels to write; absent: all. */
  readonly panelIds?: ReadonlySet<string>;
  readonly sheets: readonly SheetKind[];
  readonly output: OutputMark;
  /** Of a reprint or a patch: what the first output was made with. */
  readonly firstRecord?: ProductionRecord | undefined;
  readonly logo?: ShopLogo | undefined;
  /** Files of the fill list in the archive; absent where it has none. */
  readonly fillPaths?: readonly FillPath[] | undefined;
  /** Where photos of sides are kept. */
  readonly archiveFolder?: string | undefined;
}
