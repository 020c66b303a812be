import type { Progress } from '../../core/contract/parts.ts';
import { progressText } from '../../core/contract/progress-text.ts';
import { Button } from './button.tsx';

interface WorkProgressProps {
  readonly progress: Progress;
  onCancel(): void;
}

/** A bar for work under way, with what is being done, how far it is and a way to stop it. */
export function WorkProgress({ progress, onCancel }: WorkProgressProps) {
  const { what, done, total } = progress;
  const howFar = progressText(progress);
  return (
    <div class="progress" role="status">
      <div>
        {what} {howFar !== '' && <span class="quiet">({howFar})</span>}
      </div>
      {/* Without a value it shows that something is done, and not how much. */}
      <progress {...(howFar !== '' && { value: done })} max={total} aria-label={what} />
      <div>
        <Button onClick={onCancel}>Cancel</Button>
      </div>
    </div>
  );
}
