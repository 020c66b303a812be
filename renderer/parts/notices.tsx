import { dismissNotice, notices } from '../state/notices.ts';
import { Button } from './button.tsx';

/** Messages at the edge of the window, read out as they arrive. */
export function Notices() {
  return (
    <div class="notices" role="log" aria-live="polite" aria-label="Messages">
      {notices.value.map(({ id, kind, message, remedy }) => (
        <div key={id} class={`notice ${kind}`} role={kind === 'problem' ? 'alert' : 'status'}>
          <div>
            <p>{message}</p>
            {remedy !== undefined && <p class="quiet">{remedy}</p>}
          </div>
          <Button onClick={() => dismissNotice(id)} title="Dismiss this message">
            Dismiss
          </Button>
        </div>
      ))}
    </div>
  );
}
