import type { JobChange } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';

/** Makes a change; returns the sentence why not. Changes of one `gesture` in a row are one step of undo. */
export type SetJob = (label: string, change: JobChange, gesture?: string) => string | undefined;

export interface JobFieldsProps {
  readonly job: Job;
  readonly set: SetJob;
}
