/** Patterns of vehicles that the shop keeps, to be laid on a side of the next job of the same unit. */
import { useState } from 'preact/hooks';
import {
  patternCount,
  patternFromSide,
  patternLaid,
  type VehiclePattern,
} from '../../core/job/edits/vehicle-pattern.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { sizeText } from '../bench/seam-words.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { isReadOnly, jobEdited } from '../state/open-job.ts';
import { shopItemForgotten, shopItemKept, shopItems } from '../state/shop.ts';

export function PatternList({ job, side }: { readonly job: Job; readonly side: Side }) {
  const [name, setName] = useState(`${job.unit.name}, ${side.name.toLowerCase()}`);
  const count = patternCount(side);
  return (
    <div class="lettering">
      <p class="quiet">
        Body lines, hard areas and openings of a side can be kept in the archive as a pattern. They count from
        the front edge, so a pattern of one side fits the opposite one, mirrored.
      </p>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          const pattern = patternFromSide(side, job.scale, name.trim());
          void shopItemKept({ kind: 'pattern', value: pattern });
        }}
      >
        <TextField label="Name of the pattern" value={name} onChange={setName} onInput={setName} />
        <div>
          <Button isSubmit isDisabled={count === 0 || name.trim() === ''}>
            Keep {count} {count === 1 ? 'item' : 'items'} of {side.code}
          </Button>
        </div>
      </form>
      <ul class="lettering-list">
        {shopItems.value.patterns.map((pattern) => (
          <PatternItem key={pattern.name} pattern={pattern} job={job} side={side} />
        ))}
      </ul>
    </div>
  );
}

interface PatternItemProps {
  readonly pattern: VehiclePattern;
  readonly job: Job;
  readonly side: Side;
}

function PatternItem({ pattern, job, side }: PatternItemProps) {
  const size = { width: pattern.widthMm, height: pattern.heightMm };
  return (
    <li>
      <p>{pattern.name}</p>
      <p class="quiet">
        {patternCount(pattern)} items, of a side of {sizeText(size, job.displayUnit)}
      </p>
      <div class="buttons">
        <Button
          isDisabled={isReadOnly.value}
          title={`Add the items of “${pattern.name}” to ${side.code}`}
          onClick={() => {
            jobEdited(`Lay the pattern “${pattern.name}”`, (now) => patternLaid(now, side.id, pattern));
          }}
        >
          Lay on {side.code}
        </Button>
        <Button
          title={`Take “${pattern.name}” out of the archive`}
          onClick={() => void shopItemForgotten({ kind: 'pattern', value: pattern })}
        >
          Forget
        </Button>
      </div>
    </li>
  );
}
