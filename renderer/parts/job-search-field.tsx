import { stockCode, stockNumberFromCode } from '../../core/shop/stock-text.ts';
import { showScreen } from '../state/route.ts';
import { Field } from './field.tsx';

interface JobSearchFieldProps {
  readonly text: string;
  onInput(text: string): void;
  /** Enter, as a hand scanner ends what it types. */
  onEnter?(text: string): void;
}

/** Finds jobs of the archive by any word of them. */
export const JobSearchField = ({ text, onInput, onEnter }: JobSearchFieldProps) => (
  <Field label="Search customer, unit number, job, notes, panel labels">
    {(ids) => (
      <input
        class="input"
        type="search"
        value={text}
        onInput={(event) => onInput(event.currentTarget.value)}
        onKeyDown={(event) => {
          // A hand scanner types the code of a label in full, and Enter; a job may be called R-12.
          const typed = event.currentTarget.value.trim().toUpperCase();
          const roll = stockNumberFromCode(typed);
          if (event.key === 'Enter' && roll !== undefined && stockCode(roll) === typed) {
            onInput('');
            showScreen({ screen: 'rolls', roll: stockCode(roll) });
          }
          if (event.key === 'Enter') onEnter?.(event.currentTarget.value);
        }}
        {...ids}
      />
    )}
  </Field>
);
