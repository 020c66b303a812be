import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

interface FieldProps {
  readonly label: string;
  /** One sentence under the field; the field is then read as invalid. */
  readonly problem?: string | undefined;
  readonly hint?: string;
  /** Gets the ids that tie input, problem and hint together. */
  children(ids: {
    readonly id: string;
    readonly 'aria-describedby'?: string;
    readonly 'aria-invalid'?: boolean;
  }): ComponentChildren;
}

/** A label above an input, with its hint and its problem below, tied together for screen readers. */
export function Field({ label, problem, hint, children }: FieldProps) {
  const id = useId();
  const described = [problem !== undefined && `${id}-problem`, hint !== undefined && `${id}-hint`].filter(
    (part) => part !== false,
  );
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {children({
        id,
        ...(described.length > 0 && { 'aria-describedby': described.join(' ') }),
        ...(problem !== undefined && { 'aria-invalid': true }),
      })}
      {problem !== undefined && (
        <p class="field-problem" id={`${id}-problem`}>
          {problem}
        </p>
      )}
      {hint !== undefined && (
        <p class="quiet" id={`${id}-hint`}>
          {hint}
        </p>
      )}
    </div>
  );
}

interface TextFieldProps {
  readonly label: string;
  readonly value: string;
  onChange(value: string): void;
  /** Each keystroke, where something depends on it at once. */
  onInput?(value: string): void;
  readonly problem?: string | undefined;
  readonly hint?: string;
  readonly isMultiline?: boolean;
  readonly isSecret?: boolean;
}

/** Text that is taken over when the person leaves the field or presses Enter. */
export function TextField({
  label,
  value,
  onChange,
  problem,
  hint,
  isMultiline,
  isSecret,
  onInput,
}: TextFieldProps) {
  return (
    <Field label={label} problem={problem} {...(hint !== undefined && { hint })}>
      {(ids) => {
        const shared = {
          class: 'input',
          value,
          onChange: (event: { readonly currentTarget: { readonly value: string } }) =>
            onChange(event.currentTarget.value),
          ...(onInput && {
            onInput: (event: { readonly currentTarget: { readonly value: string } }) =>
              onInput(event.currentTarget.value),
          }),
          ...ids,
        };
        if (isMultiline) return <textarea rows={3} {...shared} />;
        return isSecret ? <input type="password" {...shared} /> : <input type="text" {...shared} />;
      }}
    </Field>
  );
}
