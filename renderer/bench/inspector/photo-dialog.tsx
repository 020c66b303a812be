/**
 * Places a photo on its side: points marked on both, with typed or clicked places, a rectangle of known size, lengths,
 * and lines that are straight on the vehicle.
 */
import { useState } from 'preact/hooks';
import type { Job, Side } from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { lengthText } from '../../../core/measure/length-text.ts';
import { firstOf, itemAt, present } from '../../../core/measure/present.ts';
import type { Point } from '../../../core/measure/rect.ts';
import { isResidualMarked, type PhotoPlace, photoPlace } from '../../../core/vehicle/photo-place.ts';
import { MOST_PHOTO_POINTS, type SidePhoto } from '../../../core/vehicle/side-photo.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { wholePhoto } from '../../parts/photo-copy.ts';
import { usePhoto } from '../../parts/read-photo.ts';
import {
  cornerPlaced,
  cornersAdded,
  draftFromPhoto,
  lengthEndAdded,
  lengthEndMoved,
  lineBegun,
  linePointAdded,
  linePointMoved,
  type PhotoDraft,
  type PhotoPixel,
  photoFromDraft,
  pointPlaced,
  rectangleChanged,
  residualsOfDraft,
} from './photo-draft.ts';
import { PhotoLengths } from './photo-lengths.tsx';
import { PhotoPoints } from './photo-points.tsx';
import { PhotoRectangleFields } from './photo-rectangle.tsx';
import { type Mark, PointPane } from './point-pane.tsx';
import { SidePointPane } from './side-point-pane.tsx';
import { StraightLines } from './straight-lines.tsx';

interface PhotoDialogProps {
  readonly job: Job;
  readonly side: Side;
  readonly photo: SidePhoto;
  onKeep(photo: SidePhoto): void;
  onClose(): void;
}

const MARKINGS = [
  { value: 'points', label: 'Points with a known place' },
  { value: 'rectangle', label: 'A rectangle of known size' },
  { value: 'lengths', label: 'Lengths' },
  { value: 'lines', label: 'Lines that are straight on the vehicle' },
] as const;
type Marking = (typeof MARKINGS)[number]['value'];

/** What a click on the photo does, and an arrow key where that differs. */
const ON_PHOTO: Record<Marking, readonly ((draft: PhotoDraft, pixel: PhotoPixel) => PhotoDraft)[]> = {
  points: [(draft, photo) => (isFull(draft) ? draft : pointPlaced(draft, { photo }))],
  rectangle: [cornerPlaced],
  lengths: [lengthEndAdded, lengthEndMoved],
  lines: [linePointAdded, linePointMoved],
};
const isFull = ({ inHand }: PhotoDraft): boolean => inHand >= MOST_PHOTO_POINTS;

export function PhotoDialog({ job, side, photo, onKeep, onClose }: PhotoDialogProps) {
  const [draft, setDraft] = useState(() => draftFromPhoto(photo));
  const [marking, setMarking] = useState<Marking>('points');
  const address = usePhoto(photo, wholePhoto);
  const { width, height } = sideOutline(side, job.scale);
  const unit = job.displayUnit;
  const placed = photoFromDraft(photo, draft);
  const place = photoPlace(placed);
  const residuals = residualsOfDraft(draft, place.ok ? place.value.residualsMm : []);
  const isDoubted = (index: number) => isResidualMarked(residuals[index] ?? 0, width);
  const marks = (of: 'photo' | 'side'): Mark[] =>
    draft.points.flatMap((point, index) => {
      const at = of === 'side' ? point.side : point.photo && pointOf(point.photo);
      const isInHand = index === draft.inHand;
      const onTake = () => setDraft((now) => ({ ...now, inHand: index }));
      return at ? [{ name: String(index + 1), at, isInHand, isDoubted: isDoubted(index), onTake }] : [];
    });
  const photoMarks: Record<Marking, () => Mark[]> = {
    points: () => marks('photo'),
    rectangle: () =>
      (draft.rectangle?.corners ?? []).flatMap((corner, index) =>
        corner
          ? [
              {
                name: itemAt(CORNER_MARKS, index),
                at: pointOf(corner),
                isInHand: index === present(draft.rectangle, 'The rectangle on a photo').cornerInHand,
                isDoubted: place.ok && isResidualMarked(place.value.cornersOffMm[index] ?? 0, width),
                onTake: () => setDraft((now) => rectangleChanged(now, { cornerInHand: index })),
              },
            ]
          : [],
      ),
    lengths: () => endMark(draft.lengths.at(-1)?.to ?? draft.lengths.at(-1)?.from),
    lines: () => endMark(draft.lines.at(-1)?.at(-1)),
  };
  const [click, arrow] = ON_PHOTO[marking];
  const at = draft.rectangle?.at;
  return (
    <Dialog title={`Lay ${photo.fileName} on ${side.name}`} isLarge onClose={onClose}>
      <div class="photo-place-head">
        <Choice
          label="Mark on the photo"
          value={marking}
          options={MARKINGS}
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
          Taken square to the side: two points are enough, or two lengths and a point
        </label>
      </div>
      <div class="photo-place">
        <PointPane
          title="Photo"
          width={photo.widthPx}
          height={photo.heightPx}
          unit={1}
          marks={photoMarks[marking]()}
          lines={linesOf(draft)}
          onPoint={(point) => setDraft((now) => present(click, 'What a click does')(now, pixelOf(point)))}
          {...(arrow && { onMove: (point: Point) => setDraft((now) => arrow(now, pixelOf(point))) })}
        >
          {typeof address === 'object' && (
            <img class="photo-place-photo" src={address.url} alt={photo.fileName} />
          )}
          {address === undefined && <p class="quiet">Reading…</p>}
          {address === 'missing' && <p role="alert">{photo.fileName} is missing from the archive.</p>}
          {address === 'unreadable' && <p role="alert">{photo.fileName} cannot be shown.</p>}
        </PointPane>
        {marking === 'rectangle' ? (
          <SidePointPane
            job={job}
            side={side}
            marks={at ? [{ name: CORNER_MARKS[0], at, isInHand: true, isDoubted: false }] : []}
            lines={rectangleOnSide(draft)}
            onPoint={({ x, y }) => setDraft((now) => rectangleChanged(now, { at: { x, y } }))}
          />
        ) : (
          <SidePointPane
            job={job}
            side={side}
            marks={marks('side')}
            onPoint={({ x, y }) =>
              setDraft((now) => (isFull(now) ? now : pointPlaced(now, { side: { x, y } })))
            }
          />
        )}
        <div class="photo-place-figures">
          {marking === 'points' && (
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
                  title="Four points at the corners of the side as it is drawn."
                  onClick={() => setDraft(cornersAdded(draft, { x: 0, y: 0, width, height }))}
                >
                  Mark the corners of the side
                </Button>
              </div>
            </>
          )}
          {marking === 'rectangle' && <PhotoRectangleFields draft={draft} unit={unit} onChange={setDraft} />}
          {marking === 'lengths' && (
            <PhotoLengths
              draft={draft}
              photo={photo}
              place={place.ok ? place.value : undefined}
              drawn={{ width, height }}
              unit={unit}
              onChange={setDraft}
            />
          )}
          {marking === 'lines' && <StraightLines draft={draft} photo={photo} onChange={setDraft} />}
        </div>
      </div>
      <div class="dialog-actions">
        <p role="status">
          {place.ok
            ? placeText(place.value, draft, residuals, (mm) => lengthText(mm, unit))
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

const pointOf = ({ xPx, yPx }: PhotoPixel): Point => ({ x: xPx, y: yPx });
const pixelOf = ({ x, y }: Point): PhotoPixel => ({ xPx: x, yPx: y });

const CORNER_MARKS = ['A', 'B', 'C', 'D'] as const;

/** The end that arrow keys move. */
const endMark = (end: PhotoPixel | undefined): Mark[] =>
  end ? [{ name: '', at: pointOf(end), isInHand: true, isDoubted: false }] : [];

/** All that is drawn on the photo. */
function linesOf({ lines, lengths, rectangle }: PhotoDraft): readonly (readonly Point[])[] {
  const corners = (rectangle?.corners ?? []).flatMap((corner) => (corner ? [pointOf(corner)] : []));
  return [
    ...lines.map((line) => line.map(pointOf)),
    ...lengths.map(({ from, to }) => [from, to].flatMap((end) => (end ? [pointOf(end)] : []))),
    ...(corners.length < 4 ? [corners] : [[...corners, firstOf(corners)]]),
  ];
}

function rectangleOnSide({ rectangle }: PhotoDraft): readonly (readonly Point[])[] {
  if (!rectangle?.at || rectangle.widthMm === undefined || rectangle.heightMm === undefined) return [];
  const { x, y } = rectangle.at;
  const [right, bottom] = [x + rectangle.widthMm, y + rectangle.heightMm];
  return [
    [
      { x, y },
      { x: right, y },
      { x: right, y: bottom },
      { x, y: bottom },
      { x, y },
    ],
  ];
}

/** How well the photo matches the side, according to its points. */
function placeText(
  { sparePoints, lens, cornersOffMm }: PhotoPlace,
  { isSquareOn }: PhotoDraft,
  residuals: readonly (number | undefined)[],
  text: (mm: number) => string,
): string {
  const said = [
    ...(isSquareOn ? ['It is said to be taken square to the side, which no point proves.'] : []),
    ...(lens.bend === 0 ? [] : ['The lens is straightened.']),
  ];
  const off = [
    ...residuals.flatMap((mm, index) => (mm === undefined ? [] : [{ mm, name: `Point ${index + 1}` }])),
    ...cornersOffMm.map((mm, index) => ({ mm, name: `Corner ${CORNER_MARKS[index]}` })),
  ].toSorted((a, b) => b.mm - a.mm);
  const [worst] = off;
  const howTrue =
    sparePoints === 0 || !worst
      ? 'Its points fit exactly, as so few must: mark one or two more to see how true it lies.'
      : `${worst.name} is off most, by ${text(worst.mm)}.`;
  return ['The photo lies on the side.', howTrue, ...said].join(' ');
}
