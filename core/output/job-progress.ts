/**
 * How far a job is, from what happened to it: nobody types it. Of each panel the latest output counts, and the job is as
 * far as the panel that is least far; panels that its layout no longer has do not hold it back.
 *
 *     Output 1 LH-01 LH-02, off the printer; Output 2 LH-02, verified   →  verified
 *     the same, and Output 2 off the printer too                        →  printed
 */
import { itemAt } from '../measure/present.ts';

/** In the order in which a job goes through them. */
export const JOB_PROGRESS = ['planned', 'written', 'verified', 'printed', 'installed'] as const;
export type JobProgress = (typeof JOB_PROGRESS)[number];

export interface OutputFacts {
  readonly panelLabels: readonly string[];
  readonly isVerified: boolean;
  /** The time at which it was off the printer was entered. */
  readonly isOffPrinter: boolean;
}

export interface JobFacts {
  /** Those of its layout now. */
  readonly panelLabels: readonly string[];
  /** Oldest first, without reprints: they replace single prints and change nothing of how far the job is. */
  readonly outputs: readonly OutputFacts[];
  readonly installedOn: string | undefined;
}

/** Keeps JP1. */
export function jobProgress({ panelLabels, outputs, installedOn }: JobFacts): JobProgress {
  if (installedOn !== undefined) return 'installed';
  const latest = new Map(outputs.flatMap((output) => output.panelLabels.map((label) => [label, output])));
  const counting = panelLabels.flatMap((label) => latest.get(label) ?? []);
  // Of a layout that shares no panel with any output, the latest output is all that there is.
  const places = (counting.length > 0 ? counting : outputs.slice(-1)).map(outputPlace);
  return itemAt(JOB_PROGRESS, places.length === 0 ? 0 : Math.min(...places));
}

const outputPlace = ({ isVerified, isOffPrinter }: OutputFacts): number =>
  JOB_PROGRESS.indexOf(isOffPrinter ? 'printed' : isVerified ? 'verified' : 'written');

/** What lists call it. */
export const JOB_PROGRESS_NAMES: Readonly<Record<JobProgress, string>> = {
  planned: 'Planned',
  written: 'Written',
  verified: 'Verified',
  printed: 'Printed',
  installed: 'Installed',
};
