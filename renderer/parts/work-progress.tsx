import type { Progress } from '../../core/contract/parts.ts';
import { Button } from './button.tsx';

interface WorkProgressProps {
  readonly progress: Progress;
  onCancel(): void;
}

/** A bar for work under way, with what is being done and a way to stop it. */
export function WorkProgress({ progress: { what, done, total }, onCancel }: WorkProgressProps) {
  return (
    <div class="progress" role="status">
      <div>
        {what}{' '}
        <span class="quiet">
          ({Math.min(done + 1, total)} of {total})
        </span>
      </div>
      <progress value={done} max={total} aria-label={what} />
      <div>
        <Button onClick={onCancel}>Cancel</Button>
      </div>
    </div>
  );
}
