/** What was written for the open job since it was opened here, and whether anything was written before. */
import { computed, effect, signal } from '@preact/signals';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import type { Job } from '../../core/job/schema.ts';
import type { OutputPanels } from '../../core/output/older-outputs.ts';
import { ask } from '../client/client.ts';
import { job } from './open-job.ts';

interface Written {
  /** As it was written. */
  readonly of: Job;
  readonly output: OutputSummary;
}

const written = signal<Written | undefined>(undefined);
/** What was written for a job, and whether anything was when it was opened here. */
const cut = signal<{ jobId: string; wasBefore: boolean; outputs: readonly OutputPanels[] } | undefined>(
  undefined,
);
const cutOfOpen = computed(() => (cut.value?.jobId === job.value?.id ? cut.value : undefined));

/** The output that matches the present job. */
export const outputOfNow = computed<OutputSummary | undefined>(() =>
  written.value?.of === job.value ? written.value?.output : undefined,
);

/** What was cut of the open job, in any session. */
export const outputsCut = computed<readonly OutputPanels[]>(() => cutOfOpen.value?.outputs ?? []);

export const wasWrittenBefore = computed(() => cutOfOpen.value?.wasBefore === true);

export function keepLastOutput(of: Job, output: OutputSummary): void {
  written.value = { of, output };
}

const askedAgain = signal(0);

/** What is known of outputs may have changed: artworks were compared. */
export function askOutputsAgain(): void {
  askedAgain.value++;
}

/** Reads the written panels of each job when it is opened and after each output; called once. */
export function followOutputs(): void {
  const openId = computed(() => job.value?.id);
  effect(() => {
    const [jobId] = [openId.value, written.value, askedAgain.value];
    if (jobId === undefined) return;
    void ask('output:panels', { jobId }).then((outputs) => {
      if (!outputs.ok || openId.peek() !== jobId) return;
      const known = cut.peek();
      const wasBefore = known?.jobId === jobId ? known.wasBefore : outputs.value.length > 0;
      cut.value = { jobId, wasBefore, outputs: outputs.value };
    });
  });
}
