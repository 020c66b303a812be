/** Typing a film or laminate from its data sheet. */
import { useState } from 'preact/hooks';
import { figureLabel } from '../../core/measure/figure-units.ts';
import type { ShelfItem } from '../../core/shop/shelf.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import {
  FILM_KIND_OPTIONS,
  MATERIAL_FIELDS,
  type MaterialDraft,
  type MaterialField,
  type MaterialUse,
  materialFromDraft,
} from './material-draft.ts';

interface MaterialFormProps {
  readonly use: MaterialUse;
  readonly unit: 'mm' | 'in';
  readonly id: string;
  readonly start: MaterialDraft;
  /** What is being changed; undefined for a new one. */
  readonly was: ShelfItem | undefined;
  onDone(item: ShelfItem): void;
  onCancel(): void;
}

export function MaterialForm({ use, unit, id, start, was, onDone, onCancel }: MaterialFormProps) {
  const [draft, setDraft] = useState(start);
  const [problems, setProblems] = useState<Readonly<Partial<Record<MaterialField, string>>>>({});
  const fields = MATERIAL_FIELDS.filter(({ isFilmOnly }) => !isFilmOnly || use === 'film');
  return (
    <form
      class="material-form"
      aria-label={`Data sheet of the ${use}`}
      onSubmit={(event) => {
        event.preventDefault();
        const read = materialFromDraft(draft, { id, use, unit, was });
        if (read.ok) onDone(read.item);
        else {
          setProblems(read.problems);
          const form = event.currentTarget;
          requestAnimationFrame(() => form.querySelector<HTMLElement>('[aria-invalid]')?.focus());
        }
      }}
    >
      <p class="quiet">As its data sheet, its label and the invoice say.</p>
      <SelectField
        label="Kind"
        value={draft.kind}
        options={FILM_KIND_OPTIONS}
        onChange={(kind) => setDraft({ ...draft, kind })}
      />
      <label class="check">
        <input
          type="checkbox"
          checked={draft.isForGlass}
          onChange={({ currentTarget }) => setDraft({ ...draft, isForGlass: currentTarget.checked })}
        />
        {use === 'film' ? 'Perforated, for glass' : 'Optically clear, for glass'}
      </label>
      {fields.map(({ key, label }) => {
        const take = (text: string) => setDraft((now) => ({ ...now, [key]: text }));
        return (
          <TextField
            key={key}
            label={figureLabel(label, unit)}
            value={draft[key]}
            problem={problems[key]}
            onChange={take}
            onInput={take}
          />
        );
      })}
      <div class="buttons">
        <Button isSubmit isPrimary>
          Use this {use}
        </Button>
        <Button onClick={onCancel}>Cancel</Button>
      </div>
    </form>
  );
}
