/** Patterns of vehicles that this machine keeps, to be laid on a side of the next job of the same unit. */
import { signal } from '@preact/signals';
import { useState } from 'preact/hooks';
import { z } from 'zod';
import type { Job, Side } from '../../core/job/schema.ts';
import { sizeText } from '../bench/seam-words.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { isReadOnly, jobEdited } from '../state/open-job.ts';
import { patternCount, patternFromSide, patternLaid, VehiclePattern } from './vehicle-pattern.ts';

const KEY = 'panelwright-patterns';
const MOST_PATTERNS = 200;

function stored(): readonly VehiclePattern[] {
  try {
    const list = z.array(z.unknown()).parse(JSON.parse(localStorage.getItem(KEY) ?? '[]'));
    return list.flatMap((given) => {
      const pattern = VehiclePattern.safeParse(given);
      return pattern.success ? [pattern.data] : [];
    });
  } catch {
    return [];
  }
}

const patterns = signal<readonly VehiclePattern[]>(stored());

function patternsKept(next: readonly VehiclePattern[]): void {
  patterns.value = next.slice(0, MOST_PATTERNS);
  localStorage.setItem(KEY, JSON.stringify(patterns.value));
}

export function PatternList({ job, side }: { readonly job: Job; readonly side: Side }) {
  const [name, setName] = useState(`${job.unit.name}, ${side.name.toLowerCase()}`);
  const count = patternCount(side);
  return (
    <div class="lettering">
      <p class="quiet">
        Body lines, hard areas and openings of a side can be kept on this machine as a pattern. They count
        from the front edge, so a pattern of one side fits the opposite one, mirrored.
      </p>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          const pattern = patternFromSide(side, job.scale, name.trim());
          patternsKept([pattern, ...patterns.value.filter((other) => other.name !== pattern.name)]);
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
        {patterns.value.map((pattern) => (
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
          title={`Take “${pattern.name}” off this machine`}
          onClick={() => patternsKept(patterns.value.filter((other) => other !== pattern))}
        >
          Forget
        </Button>
      </div>
    </li>
  );
}
