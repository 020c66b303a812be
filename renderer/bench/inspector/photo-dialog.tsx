/** Lays a photo on its side: points marked on both, their places typed or clicked, lines that are straight on the vehicle. */
import { useState } from 'preact/hooks';
import type { Job, Side } from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { lengthText } from '../../../core/measure/length-text.ts';
import type { Point } from '../../../core/measure/rect.ts';
import { isResidualMarked, type PhotoPlace, photoPlace } from '../../../core/vehicle/photo-place.ts';
import { MOST_PHOTO_POINTS, MOST_STRAIGHT_LINES, type SidePhoto } from '../../../core/vehicle/side-photo.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { wholePhoto } from '../../parts/photo-copy.ts';
import { usePhoto } from '../../parts/read-photo.ts';
import {
  cornersAdded,
  draftFromPhoto,
  lineBegun,
  linePointAdded,
  linePointMoved,
  lineRemoved,
  type PhotoDraft,
  photoFromDraft,
  pointPlaced,
  residualsOfDraft,
} from './photo-draft.ts';
import { PhotoPoints } from './photo-points.tsx';
import { type Mark, PointPane } from './point-pane.tsx';
import { SidePointPane } from './side-point-pane.tsx';

interface PhotoDialogProps {
  readonly job: Job;
  readonly side: Side;
  readonly photo: SidePhoto;
  onKeep(photo: SidePhoto): void;
  onClose(): void;
}

export function PhotoDialog({ job, side, photo, onKeep, onClose }: PhotoDialogProps) {
  const [draft, setDraft] = useState(() => draftFromPhoto(photo));
  const [marking, setMarking] = useState<'points' | 'lines'>('points');
  const address = usePhoto(photo, wholePhoto);
  const { width, height } = sideOutline(side, job.scale);
  const unit = job.displayUnit;
  const placed = photoFromDraft(photo, draft);
  const place = photoPlace(placed);
  const residuals = residualsOfDraft(draft, place.ok ? place.value.residualsMm : []);
  const isDoubted = (index: number) => isResidualMarked(residuals[index] ?? 0, width);
  const isFull = draft.inHand >= MOST_PHOTO_POINTS;
  const marks = (of: 'photo' | 'side'): Mark[] =>
    draft.points.flatMap((point, index) => {
      const at = of === 'side' ? point.side : point.photo && { x: point.photo.xPx, y: point.photo.yPx };
      return at
        ? [{ name: String(index + 1), at, isInHand: index === draft.inHand, isDoubted: isDoubted(index) }]
        : [];
    });
  return (
    <Dialog title={`Lay ${photo.fileName} on ${side.name}`} isLarge onClose={onClose}>
      <div class="photo-place-head">
        <Choice
          label="Mark on the photo"
          value={marking}
          options={[
            { value: 'points', label: 'Points with a known place' },
            { value: 'lines', label: 'Lines that are straight on the vehicle' },
          ]}
          onChange={(next) => {
            setMarking(next);
            if (next === 'lines') setDraft(lineBegun);
          }}
        />
        <label class="check">
          <input
            type="checkbox"
            checked={draft.isSquareOn}
            onChange={(event) => setDraft({ ...draft, isSquareOn: event.currentTarget.checked })}
          />
          Taken square to the side: two points are enough
        </label>
      </div>
      <div class="photo-place">
        <PointPane
          title="Photo"
          width={photo.widthPx}
          height={photo.heightPx}
          unit={1}
          marks={marking === 'points' ? marks('photo') : lineMarks(draft)}
          lines={draft.lines.map((line) => line.map(({ xPx, yPx }) => ({ x: xPx, y: yPx })))}
          onPoint={({ x, y }) => {
            const pixel = { xPx: x, yPx: y };
            if (marking === 'lines') setDraft(linePointAdded(draft, pixel));
            else if (!isFull) setDraft(pointPlaced(draft, { photo: pixel }));
          }}
          {...(marking === 'lines' && {
            onMove: ({ x, y }: Point) => setDraft(linePointMoved(draft, { xPx: x, yPx: y })),
          })}
        >
          {typeof address === 'object' && (
            <img class="photo-place-photo" src={address.url} alt={photo.fileName} />
          )}
          {address === undefined && <p class="quiet">Reading…</p>}
          {address === 'missing' && <p role="alert">{photo.fileName} is missing from the archive.</p>}
          {address === 'unreadable' && <p role="alert">{photo.fileName} cannot be shown.</p>}
        </PointPane>
        <SidePointPane
          job={job}
          side={side}
          marks={marks('side')}
          onPoint={({ x, y }) => {
            if (!isFull) setDraft(pointPlaced(draft, { side: { x, y } }));
          }}
        />
        <div class="photo-place-figures">
          {marking === 'points' ? (
            <>
              <PhotoPoints
                picture="photo"
                draft={draft}
                residuals={residuals}
                isDoubted={isDoubted}
                unit={unit}
                onChange={setDraft}
              />
              <div class="buttons">
                <Button onClick={() => setDraft({ ...draft, inHand: draft.points.length })}>
                  Mark another point
                </Button>
                <Button
                  title="A rectangle of known size: here the side itself. Change its figures to those of a door or a window."
                  onClick={() => setDraft(cornersAdded(draft, { x: 0, y: 0, width, height }))}
                >
                  Mark the corners of the side
                </Button>
              </div>
            </>
          ) : (
            <StraightLines draft={draft} photo={photo} onChange={setDraft} />
          )}
        </div>
      </div>
      <div class="dialog-actions">
        <p role="status">
          {place.ok
            ? placeText(place.value, residuals, (mm) => lengthText(mm, unit))
            : `${place.problem.message} ${place.problem.remedy}`}
        </p>
        <Button onClick={onClose}>Cancel</Button>
        <Button isPrimary onClick={() => onKeep(placed)}>
          Keep these points
        </Button>
      </div>
    </Dialog>
  );
}

/** The last point of the last line is the one that arrow keys move. */
function lineMarks({ lines }: PhotoDraft): Mark[] {
  const at = lines.at(-1)?.at(-1);
  return at ? [{ name: '', at: { x: at.xPx, y: at.yPx }, isInHand: true, isDoubted: false }] : [];
}

/** How true the photo lies, as far as its points tell. */
function placeText(
  { sparePoints, lens }: PhotoPlace,
  residuals: readonly (number | undefined)[],
  text: (mm: number) => string,
): string {
  const bend = lens.bend === 0 ? '' : ' The lens is straightened.';
  if (sparePoints === 0)
    return `The photo lies on the side. Its points fit exactly, as so few must: mark one or two more to see how true it lies.${bend}`;
  const worst = residuals.reduce<number>(
    (most, value, index) => ((value ?? 0) > (residuals[most] ?? 0) ? index : most),
    0,
  );
  return `The photo lies on the side. Point ${worst + 1} is off most, by ${text(residuals[worst] ?? 0)}.${bend}`;
}

interface DraftProps {
  readonly draft: PhotoDraft;
  readonly photo: SidePhoto;
  onChange(draft: PhotoDraft): void;
}

function StraightLines({ draft, photo, onChange }: DraftProps) {
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
