/**
 * The progress of a job, derived from events and never typed. For each panel the latest output counts, and the least
 * advanced panel sets the progress of the job; panels that the layout no longer has do not count.
 *
 *     Output 1 LH-01 LH-02, off the printer; Output 2 LH-02, verified   →  verified
 *     the same, and Output 2 off the printer too                        →  printed
 */
import { itemAt } from '../measure/present.ts';

/** In order of progress. */
export const JOB_PROGRESS = ['planned', 'written', 'verified', 'printed', 'installed'] as const;
export type JobProgress = (typeof JOB_PROGRESS)[number];

export interface OutputFacts {
  readonly panelLabels: readonly string[];
  readonly isVerified: boolean;
  /** Whether the time off the printer was entered. */
  readonly isOffPrinter: boolean;
}

export interface JobFacts {
  /** Panels of the present layout. */
  readonly panelLabels: readonly string[];
  /** Oldest first, without reprints, which replace single prints and do not affect progress. */
  readonly outputs: readonly OutputFacts[];
  readonly installedOn: string | undefined;
}

/** Keeps JP1. */
export function jobProgress({ panelLabels, outputs, installedOn }: JobFacts): JobProgress {
  if (installedOn !== undefined) return 'installed';
  const latest = new Map(outputs.flatMap((output) => output.panelLabels.map((label) => [label, output])));
  const counting = panelLabels.flatMap((label) => latest.get(label) ?? []);
  // Where the layout shares no panel with any output, the latest output counts.
  const places = (counting.length > 0 ? counting : outputs.slice(-1)).map(outputPlace);
  return itemAt(JOB_PROGRESS, places.length === 0 ? 0 : Math.min(...places));
}

const outputPlace = ({ isVerified, isOffPrinter }: OutputFacts): number =>
  JOB_PROGRESS.indexOf(isOffPrinter ? 'printed' : isVerified ? 'verified' : 'written');

/** Names in lists. */
export const JOB_PROGRESS_NAMES: Readonly<Record<JobProgress, string>> = {
  planned: 'Planned',
  written: 'Written',
  verified: 'Verified',
  printed: 'Printed',
  installed: 'Installed',
};
