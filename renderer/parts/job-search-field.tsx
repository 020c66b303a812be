import { Field } from './field.tsx';

interface JobSearchFieldProps {
  readonly text: string;
  onInput(text: string): void;
}

/** Finds jobs of the archive by any word of them. */
export const JobSearchField = ({ text, onInput }: JobSearchFieldProps) => (
  <Field label="Search customer, unit number, job, notes, panel labels">
    {(ids) => (
      <input
        class="input"
        type="search"
        value={text}
        onInput={(event) => onInput(event.currentTarget.value)}
        {...ids}
      />
    )}
  </Field>
);
