/** Areas that look like lettering: offered as no-seam areas, never taken without being asked. */
import type { Side } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import type { LetteringBox } from '../../core/seams/lettering-boxes.ts';
import { sizeText } from '../bench/seam-words.ts';
import { Button } from '../parts/button.tsx';
import { shareText } from '../parts/quantity-text.ts';
import { isReadOnly } from '../state/open-job.ts';
import { acceptLettering, dropLettering, keptClearBy, letteringOffered, proposal } from './plan-state.ts';

const numberOf = (box: LetteringBox): number => (proposal.value?.answer.lettering.indexOf(box) ?? 0) + 1;

export function LetteringList({ side, unit }: { readonly side: Side; readonly unit: 'mm' | 'in' }) {
  const boxes = letteringOffered.value;
  const open = boxes.filter((box) => !keptClearBy(side, box));
  if (boxes.length === 0) {
    return <p class="hint">Nothing on this side looks like lettering, or all of it was ignored.</p>;
  }
  return (
    <div class="lettering">
      <p class="quiet">
        Found in a rendering of the artwork, so letters may be missed and other shapes offered. Suggested
        layouts count what is found as costly to cut; only a no-seam area forbids it. Move and name an area on
        the bench.
      </p>
      {open.length > 1 && (
        <Button isDisabled={isReadOnly.value} onClick={() => acceptLettering(open)}>
          Make {open.length} no-seam areas
        </Button>
      )}
      <ol class="lettering-list">
        {boxes.map((box) => (
          <LetteringItem key={numberOf(box)} box={box} side={side} unit={unit} />
        ))}
      </ol>
    </div>
  );
}

interface LetteringItemProps {
  readonly box: LetteringBox;
  readonly side: Side;
  readonly unit: 'mm' | 'in';
}

function LetteringItem({ box, side, unit }: LetteringItemProps) {
  const number = numberOf(box);
  const kept = keptClearBy(side, box);
  const { rect, confidence, shapes } = box;
  return (
    <li class="lettering-item">
      <span class="seam-badge is-lettering">{`L${number}`}</span>
      <div>
        <p>
          {sizeText(rect, unit)} at {lengthText(rect.x, unit)} from the left, {lengthText(rect.y, unit)} from
          the top
        </p>
        <p class="quiet">
          {shapes} shapes, looks like lettering to {shareText(confidence)}
        </p>
        {kept ? (
          <p>✓ In the no-seam area {kept.name}</p>
        ) : (
          <div class="buttons">
            <Button
              isDisabled={isReadOnly.value}
              title={`Make a no-seam area of L${number}`}
              onClick={() => acceptLettering([box])}
            >
              Make no-seam area
            </Button>
            <Button title={`Leave L${number} out of this list`} onClick={() => dropLettering(box)}>
              Ignore
            </Button>
          </div>
        )}
      </div>
    </li>
  );
}

/** The offered boxes over the large picture, by the numbers of the list. */
export function LetteringBoxes({ pxPerMm }: { readonly pxPerMm: number }) {
  return (
    <>
      {letteringOffered.value.map((box) => {
        const { x, y, width, height } = box.rect;
        return (
          <g key={numberOf(box)} class="lettering-box">
            <rect x={x * pxPerMm} y={y * pxPerMm} width={width * pxPerMm} height={height * pxPerMm} />
            <text x={x * pxPerMm + 2} y={y * pxPerMm - 3}>{`L${numberOf(box)}`}</text>
          </g>
        );
      })}
    </>
  );
}
