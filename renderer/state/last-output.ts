/** What was written of the open job since it was opened here, and whether it was written before. */
import { computed, effect, signal } from '@preact/signals';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import type { Job } from '../../core/job/schema.ts';
import { ask } from '../client/client.ts';
import { job } from './open-job.ts';

interface Written {
  /** As it was written. */
  readonly of: Job;
  readonly output: OutputSummary;
}

const written = signal<Written | undefined>(undefined);
const jobIdsWrittenBefore = signal<ReadonlySet<string>>(new Set());

/** The output that is of the job as it is now. */
export const outputOfNow = computed<OutputSummary | undefined>(() =>
  written.value?.of === job.value ? written.value?.output : undefined,
);

export const wasWrittenBefore = computed(() => jobIdsWrittenBefore.value.has(job.value?.id ?? ''));

export function keepLastOutput(of: Job, output: OutputSummary): void {
  written.value = { of, output };
}

/** Asks of each job that is opened whether it was ever written; called once. */
export function followOutputs(): void {
  const openId = computed(() => job.value?.id);
  effect(() => {
    const jobId = openId.value;
    if (jobId === undefined) return;
    void ask('output:list', { jobId }).then((outputs) => {
      if (!outputs.ok || outputs.value.length === 0) return;
      jobIdsWrittenBefore.value = new Set(jobIdsWrittenBefore.peek()).add(jobId);
    });
  });
}
