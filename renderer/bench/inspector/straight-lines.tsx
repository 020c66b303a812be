/** Lines of a photo that are straight on the vehicle. */
import { MOST_STRAIGHT_LINES, type SidePhoto } from '../../../core/vehicle/side-photo.ts';
import { Button } from '../../parts/button.tsx';
import { lineBegun, linePointAdded, lineRemoved, type PhotoDraft } from './photo-draft.ts';

interface StraightLinesProps {
  readonly draft: PhotoDraft;
  readonly photo: SidePhoto;
  onChange(draft: PhotoDraft): void;
}

export function StraightLines({ draft, photo, onChange }: StraightLinesProps) {
  const middle = { xPx: photo.widthPx / 2, yPx: photo.heightPx / 2 };
  return (
    <>
      <p>
        Click three points or more along each line that is straight on the vehicle: a roof edge, a molding, a
        door post. Long lines near the edges of the photo say most of its lens. Arrow keys on the photo move
        the last point.
      </p>
      <ol class="photo-lines">
        {draft.lines.map((line, index) => (
          <li key={`${index} ${line[0]?.xPx}`}>
            {line.length === 1 ? '1 point' : `${line.length} points`}
            {line.length < 3 && <span class="quiet"> (three are needed)</span>}
            <Button spoken={`Remove line ${index + 1}`} onClick={() => onChange(lineRemoved(draft, index))}>
              Remove
            </Button>
          </li>
        ))}
      </ol>
      <Button onClick={() => onChange(linePointAdded(draft, draft.lines.at(-1)?.at(-1) ?? middle))}>
        Add a point to the last line
      </Button>
      <Button
        isDisabled={draft.lines.length >= MOST_STRAIGHT_LINES || draft.lines.at(-1)?.length === 0}
        onClick={() => onChange(lineBegun(draft))}
      >
        Begin another line
      </Button>
    </>
  );
}
