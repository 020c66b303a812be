import type { Job } from '../../core/job/schema.ts';
export function Inspector({ job }: { readonly job: Job }) {
  return (
    <aside class="inspector" aria-label="Inspector">
      {job.number}
    </aside>
  );
}
