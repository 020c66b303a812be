import { useId } from 'preact/hooks';

interface ChoiceProps<T extends string> {
  readonly label: string;
  /** What is chosen; undefined where several things differ. */
  readonly value: T | undefined;
  readonly options: readonly { readonly value: T; readonly label: string }[];
  readonly isDisabled?: boolean;
  onChange(value: T): void;
}

/** A few options side by side, of which one holds. */
export function Choice<T extends string>({ label, value, options, isDisabled, onChange }: ChoiceProps<T>) {
  const name = useId();
  return (
    <fieldset class="choice" disabled={isDisabled ?? false}>
      <legend>{label}</legend>
      <div class="choice-options">
        {options.map((option) => (
          <label key={option.value}>
            <input
              type="radio"
              name={name}
              checked={value === option.value}
              onChange={() => onChange(option.value)}
            />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
