/** A rectangle of known size on a photo: its corners, its size, and where it is on the side. */
import type { Mm } from '../../../core/measure/units.ts';
import { Button } from '../../parts/button.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { type PhotoDraft, rectangleChanged, rectangleRemoved } from './photo-draft.ts';

const CORNERS = ['Upper left', 'Upper right', 'Lower right', 'Lower left'] as const;

interface PhotoRectangleProps {
  readonly draft: PhotoDraft;
  readonly unit: 'mm' | 'in';
  onChange(draft: PhotoDraft): void;
}

export function PhotoRectangleFields({ draft, unit, onChange }: PhotoRectangleProps) {
  const { rectangle } = draft;
  const set = (change: Parameters<typeof rectangleChanged>[1]): undefined => {
    onChange(rectangleChanged(draft, change));
  };
  const sizeSet = (mm: Mm, name: 'widthMm' | 'heightMm') =>
    mm > 0 ? set({ [name]: mm }) : 'Type a length of more than 0.';
  const { x = 0, y = 0 } = rectangle?.at ?? {};
  return (
    <>
      <p>
        Click the four corners of a door, a window or another rectangle on the photo, and type its width and
        height as a tape shows them.
      </p>
      <div class="buttons">
        {CORNERS.map((name, index) => (
          <Button
            key={name}
            isPressed={index === (rectangle?.cornerInHand ?? 0)}
            title="The corner in hand: clicks and arrow keys place it."
            onClick={() => set({ cornerInHand: index })}
          >
            {rectangle?.corners[index] ? `${name} ✓` : name}
          </Button>
        ))}
      </div>
      <div class="pair">
        <LengthField
          label="Width of the rectangle"
          mm={rectangle?.widthMm}
          unit={unit}
          onChange={(mm) => sizeSet(mm, 'widthMm')}
        />
        <LengthField
          label="Height of the rectangle"
          mm={rectangle?.heightMm}
          unit={unit}
          onChange={(mm) => sizeSet(mm, 'heightMm')}
        />
      </div>
      <p>
        Where it is on the side: type the place of its upper left corner, or click it on the side and drag it.
        Where nobody knows, leave it empty and mark one point on both pictures.
      </p>
      <div class="pair">
        <LengthField
          label="Corner from the left"
          mm={rectangle?.at?.x}
          unit={unit}
          onChange={(mm) => set({ at: { x: mm, y } })}
        />
        <LengthField
          label="Corner from the top"
          mm={rectangle?.at?.y}
          unit={unit}
          onChange={(mm) => set({ at: { x, y: mm } })}
        />
      </div>
      {rectangle && <Button onClick={() => onChange(rectangleRemoved(draft))}>Remove the rectangle</Button>}
    </>
  );
}
