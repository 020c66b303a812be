import { Field } from './field.tsx';

interface SelectFieldProps<T extends string> {
  readonly label: string;
  readonly value: T;
  readonly options: readonly { readonly value: T; readonly label: string }[];
  readonly hint?: string;
  onChange(value: T): void;
}

/** One of many options. */
export function SelectField<T extends string>({
  label,
  value,
  options,
  hint,
  onChange,
}: SelectFieldProps<T>) {
  return (
    <Field label={label} {...(hint !== undefined && { hint })}>
      {(ids) => (
        <select
          class="input"
          value={value}
          onChange={(event) => onChange(event.currentTarget.value as T)}
          {...ids}
        >
          {options.map((option) => (
            <option key={option.value} value={option.value}>
              {option.label}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}
