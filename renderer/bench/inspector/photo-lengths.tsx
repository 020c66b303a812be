/** Lengths on a photo: those that a tape gave, and those that are measured on it. */
import { lengthText } from '../../../core/measure/length-text.ts';
import type { Mm } from '../../../core/measure/units.ts';
import { type PhotoPlace, photoLengthMm } from '../../../core/vehicle/photo-place.ts';
import { MOST_PHOTO_LENGTHS, type SidePhoto } from '../../../core/vehicle/side-photo.ts';
import { Button } from '../../parts/button.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import {
  type LengthDraft,
  lengthChanged,
  lengthEndAdded,
  lengthRemoved,
  type PhotoDraft,
} from './photo-draft.ts';

interface PhotoLengthsProps {
  readonly draft: PhotoDraft;
  readonly photo: SidePhoto;
  /** Undefined until the photo has its place on the side. */
  readonly place: PhotoPlace | undefined;
  readonly drawn: { readonly width: Mm; readonly height: Mm };
  readonly unit: 'mm' | 'in';
  onChange(draft: PhotoDraft): void;
}

export function PhotoLengths({ draft, photo, place, drawn, unit, onChange }: PhotoLengthsProps) {
  const middle = { xPx: photo.widthPx / 2, yPx: photo.heightPx / 2 };
  const last = draft.lengths.at(-1);
  const isFull = draft.lengths.length >= MOST_PHOTO_LENGTHS && last?.to !== undefined;
  return (
    <>
      <p>
        Click both ends of a length on the photo. Type what a tape shows, or leave it empty to measure it on
        the photo. Say where it is the width or height of the side: the drawn size is then checked.
      </p>
      {draft.lengths.map((length, index) => {
        const name = `Length ${index + 1}`;
        const set = (change: Parameters<typeof lengthChanged>[2]): undefined => {
          onChange(lengthChanged(draft, index, change));
        };
        return (
          <fieldset key={index} class="photo-point" aria-label={name}>
            <div class="photo-point-head">
              <strong>{name}</strong>
              <span class="quiet">{measuredText(length, place, drawn, (mm) => lengthText(mm, unit))}</span>
              <Button spoken={`Remove ${name}`} onClick={() => onChange(lengthRemoved(draft, index))}>
                Remove
              </Button>
            </div>
            <div class="pair">
              <LengthField
                label="The tape shows"
                mm={length.mm}
                unit={unit}
                onChange={(mm) => (mm > 0 ? set({ mm }) : 'Type a length of more than 0.')}
                onEmpty={() => set({ mm: undefined })}
              />
              <SelectField
                label="It is"
                value={length.of ?? ''}
                options={[
                  { value: '', label: 'A length' },
                  { value: 'width', label: 'The width of the side' },
                  { value: 'height', label: 'The height of the side' },
                ]}
                onChange={(of) => set({ of: of === '' ? undefined : of })}
              />
            </div>
          </fieldset>
        );
      })}
      <Button
        isDisabled={isFull}
        onClick={() => onChange(lengthEndAdded(draft, last?.to ?? last?.from ?? middle))}
      >
        Add an end
      </Button>
    </>
  );
}

/** What the photo shows of it, beside what is drawn. */
function measuredText(
  { from, to, of }: LengthDraft,
  place: PhotoPlace | undefined,
  drawn: { readonly width: Mm; readonly height: Mm },
  text: (mm: Mm) => string,
): string {
  if (!from || !to) return 'click its other end';
  if (!place) return 'measured once the photo lies on the side';
  const shown = `about ${text(photoLengthMm(place, { from, to, of }))} on the photo`;
  return of ? `${shown}, ${text(drawn[of])} drawn` : shown;
}
