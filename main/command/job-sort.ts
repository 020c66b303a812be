/** What a list of jobs can be sorted by, in the words of the command line. */
export const JOB_SORTS = ['changed', 'number', 'job', 'customer', 'vehicle', 'state'] as const;
export type JobSort = (typeof JOB_SORTS)[number];
