/** The points of a photo: where each is on the side, and how far off. */
import { lengthText } from '../../../core/measure/length-text.ts';
import type { Mm } from '../../../core/measure/units.ts';
import { Button } from '../../parts/button.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { type DraftPoint, type PhotoDraft, pointChanged, pointRemoved } from './photo-draft.ts';

interface PhotoPointsProps {
  /** What the points tie to the side. */
  readonly picture: 'photo' | 'template';
  readonly draft: PhotoDraft;
  readonly residuals: readonly (Mm | undefined)[];
  isDoubted(index: number): boolean;
  readonly unit: 'mm' | 'in';
  onChange(draft: PhotoDraft): void;
}

export function PhotoPoints({ picture, draft, residuals, isDoubted, unit, onChange }: PhotoPointsProps) {
  if (draft.points.length === 0)
    return (
      <p>
        Click a point on the {picture}, then the same point on the side, or type its place. Take points that
        are easy to find, {picture === 'photo' ? 'in all four corners' : 'far apart'}.
      </p>
    );
  return (
    <>
      {draft.points.map((point, index) => (
        <PointFields
          key={index}
          picture={picture}
          point={point}
          index={index}
          residual={residuals[index]}
          isDoubted={isDoubted(index)}
          draft={draft}
          unit={unit}
          onChange={onChange}
        />
      ))}
    </>
  );
}

interface PointFieldsProps extends Pick<PhotoPointsProps, 'picture' | 'draft' | 'unit' | 'onChange'> {
  readonly point: DraftPoint;
  readonly index: number;
  readonly residual: Mm | undefined;
  readonly isDoubted: boolean;
}

function PointFields({
  picture,
  point,
  index,
  residual,
  isDoubted,
  draft,
  unit,
  onChange,
}: PointFieldsProps) {
  const name = `Point ${index + 1}`;
  const { x = 0, y = 0 } = point.side ?? {};
  const set = (side: { readonly x: Mm; readonly y: Mm }): undefined => {
    onChange(pointChanged(draft, index, { side }));
  };
  return (
    <fieldset class="photo-point" aria-label={name}>
      <div class="photo-point-head">
        <Button
          isPressed={index === draft.inHand}
          title="The point in hand: clicks and arrow keys place it."
          onClick={() => onChange({ ...draft, inHand: index })}
        >
          {name}
        </Button>
        <span class={isDoubted ? 'is-doubted' : 'quiet'}>
          {!point.photo && `click it on the ${picture}`}
          {residual !== undefined && `${isDoubted ? '▲ ' : ''}off by ${lengthText(residual, unit)}`}
        </span>
        <Button spoken={`Remove ${name}`} onClick={() => onChange(pointRemoved(draft, index))}>
          Remove
        </Button>
      </div>
      <div class="pair">
        <LengthField
          label="From the left"
          mm={point.side?.x}
          unit={unit}
          onChange={(mm) => set({ x: mm, y })}
        />
        <LengthField
          label="From the top"
          mm={point.side?.y}
          unit={unit}
          onChange={(mm) => set({ x, y: mm })}
        />
      </div>
    </fieldset>
  );
}
