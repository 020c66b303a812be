/** The photo of a side: selecting it, placing it on the side, and its visibility. */
import { useState } from 'preact/hooks';
import { sidePhotoSet } from '../../../core/job/edits/edits.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { lengthText } from '../../../core/measure/length-text.ts';
import type { Mm } from '../../../core/measure/units.ts';
import { isResidualMarked, photoPlace } from '../../../core/vehicle/photo-place.ts';
import type { PhotoRectangle, SidePhoto } from '../../../core/vehicle/side-photo.ts';
import { ask, offerFile } from '../../client/client.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { FileButton } from '../../parts/file-button.tsx';
import { Facts, Section } from '../../parts/section.tsx';
import { showProblem } from '../../state/notices.ts';
import { editJob } from '../../state/open-job.ts';
import { changePhotoView, photoView } from '../../state/photo-view.ts';
import { showStage, stage } from '../bench-state.ts';
import { sizeText } from '../seam-words.ts';
import { PhotoDialog } from './photo-dialog.tsx';
import { ProudFields } from './photo-proud.tsx';

interface PhotoSectionProps {
  readonly job: Job;
  readonly side: Side;
}

export function PhotoSection({ job, side }: PhotoSectionProps) {
  const [isPlacing, setPlacing] = useState(false);
  const { photo } = side;
  const set = (label: string, next: SidePhoto | null) =>
    editJob(label, (now) => sidePhotoSet(now, { sideId: side.id, photo: next }));
  return (
    <Section title="Photo">
      {photo ? (
        <PlacedPhoto
          job={job}
          side={side}
          photo={photo}
          onPlace={() => setPlacing(true)}
          onMapSet={(isOnMap) =>
            void set(isOnMap ? 'Print the photo on the map' : 'Leave the photo off the map', {
              ...photo,
              isOnMap,
            })
          }
          onCameraSet={(mm) => {
            const { cameraMm: _, ...rest } = photo;
            void set(
              mm === undefined ? 'Clear the distance of the camera' : 'Set the distance of the camera',
              mm === undefined ? rest : { ...rest, cameraMm: mm },
            );
          }}
          onRemove={() => void set('Remove the photo', null)}
        />
      ) : (
        <ChoosePhoto
          onChosen={(chosen) => {
            if (!set('Add a photo', chosen)) setPlacing(true);
          }}
        />
      )}
      {photo && isPlacing && (
        <PhotoDialog
          job={job}
          side={side}
          photo={photo}
          onClose={() => setPlacing(false)}
          onKeep={(placed) => {
            set('Lay the photo on the side', placed);
            setPlacing(false);
            if (stage.value.kind !== 'side') showStage({ kind: 'side', sideId: side.id });
          }}
        />
      )}
    </Section>
  );
}

/** A new photo, not placed yet. */
function ChoosePhoto({ onChosen }: { onChosen(photo: SidePhoto): void }) {
  const [isReading, setReading] = useState(false);
  const choose = async (file: File) => {
    setReading(true);
    const offered = await offerFile(file);
    const kept = offered.ok ? await ask('photo:keep', { file: offered.value.token }) : offered;
    setReading(false);
    if (!kept.ok) return showProblem(kept.problem);
    changePhotoView({ isShown: true });
    onChosen({ ...kept.value, points: [], straightLines: [], isSquareOn: false });
  };
  return (
    <>
      <p>
        A photo of the side, laid under its lines, serves to find and trace body lines, doors and windows. It
        is printed on no panel. Where it was taken, and by whom, is not kept.
      </p>
      <FileButton
        label="Photo of the side"
        accept="image/jpeg,image/png,image/webp,image/heic,.heic"
        isDisabled={isReading}
        onFile={(file) => void choose(file)}
      >
        {isReading ? 'Reading…' : 'Select a photo…'}
      </FileButton>
    </>
  );
}

interface PlacedPhotoProps extends PhotoSectionProps {
  readonly photo: SidePhoto;
  onPlace(): void;
  onMapSet(isOnMap: boolean): void;
  onCameraSet(mm: Mm | undefined): void;
  onRemove(): void;
}

function PlacedPhoto({ job, side, photo, onPlace, onMapSet, onCameraSet, onRemove }: PlacedPhotoProps) {
  const place = photoPlace(photo);
  const worst = place.ok ? Math.max(0, ...place.value.residualsMm, ...place.value.cornersOffMm) : 0;
  const isDoubted = isResidualMarked(worst, sideOutline(side, job.scale).width);
  return (
    <>
      <Facts
        rows={[
          ['File', photo.fileName],
          ['Points', String(photo.points.length)],
          ...(photo.rectangle
            ? [['Rectangle', sizeText(rectangleSize(photo.rectangle), job.displayUnit)] as const]
            : []),
          ...(place.ok && place.value.sparePoints > 0
            ? [['Off by at most', `${isDoubted ? '▲ ' : ''}${lengthText(worst, job.displayUnit)}`] as const]
            : []),
        ]}
      />
      {place.ok ? (
        <>
          <ViewFields />
          {photo.isSquareOn && (
            <p>Said to be taken square to the side: its middle is truer than its edges.</p>
          )}
          <p class="quiet">A photo serves to find things: confirm the place of a seam by tape.</p>
          <ProudFields
            job={job}
            side={side}
            place={place.value}
            cameraMm={photo.cameraMm}
            onSet={onCameraSet}
          />
        </>
      ) : (
        <p>{place.problem.message}</p>
      )}
      <label class="check">
        <input
          type="checkbox"
          checked={photo.isOnMap ?? false}
          onChange={(event) => onMapSet(event.currentTarget.checked)}
        />
        Print it small on the install map
      </label>
      <div class="buttons">
        <Button onClick={onPlace}>Lay it on the side…</Button>
        <Button onClick={onRemove}>Remove the photo</Button>
      </div>
    </>
  );
}

const rectangleSize = ({ widthMm, heightMm }: PhotoRectangle) => ({ width: widthMm, height: heightMm });

/** For display only: none of it is stored with the job. */
function ViewFields() {
  const { isShown, lies, opacity, swipe } = photoView.value;
  if (stage.value.kind !== 'side')
    return <p class="quiet">The photo is seen while its side is alone on the bench.</p>;
  const percent = (share: number) => Math.round(share * 100);
  return (
    <>
      <label class="check">
        <input
          type="checkbox"
          checked={isShown}
          onChange={(event) => changePhotoView({ isShown: event.currentTarget.checked })}
        />
        Show the photo
      </label>
      <Choice
        label="It lies"
        value={lies}
        options={[
          { value: 'over', label: 'Over the artwork' },
          { value: 'under', label: 'Under the artwork' },
        ]}
        onChange={(next) => changePhotoView({ lies: next })}
      />
      <label class="field">
        {lies === 'over' ? 'Opacity of the photo' : 'Opacity of the artwork'}
        <input
          type="range"
          min={0}
          max={100}
          value={percent(opacity)}
          aria-valuetext={`${percent(opacity)} percent`}
          onInput={(event) => changePhotoView({ opacity: Number(event.currentTarget.value) / 100 })}
        />
      </label>
      <label class="field">
        {lies === 'over' ? 'Photo from the left edge up to' : 'Artwork from the left edge up to'}
        <input
          type="range"
          min={0}
          max={100}
          value={percent(swipe)}
          aria-valuetext={`${percent(swipe)} percent of the side`}
          onInput={(event) => changePhotoView({ swipe: Number(event.currentTarget.value) / 100 })}
        />
      </label>
    </>
  );
}
