import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { TermSign } from './term.tsx';
import { useTyped } from './typed-text.ts';

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
      <span class="label-line">
        <label for={id}>{label}</label>
        <TermSign label={label} />
      </span>
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
  /** The text so far, after every short pause, for long text that must not be lost if the window closes. */
  onPause?(value: string): void;
  readonly problem?: string | undefined;
  readonly hint?: string;
  readonly isMultiline?: boolean;
  readonly isSecret?: boolean;
}

const PAUSE_MS = 400;

/** Text that is taken over when the person leaves the field or presses Enter. */
export function TextField({
  label,
  value,
  onChange,
  onInput,
  onPause,
  problem,
  hint,
  isMultiline,
  isSecret,
}: TextFieldProps) {
  const { handlers } = useTyped(value, (text) => void onChange(text));
  const pause = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => () => clearTimeout(pause.current), []);
  const shared = {
    class: 'input',
    ...handlers,
    onInput: (event: { readonly currentTarget: { readonly value: string } }) => {
      handlers.onInput(event);
      const text = event.currentTarget.value;
      onInput?.(text);
      clearTimeout(pause.current);
      if (onPause) pause.current = setTimeout(() => onPause(text), PAUSE_MS);
    },
    onChange: (event: { readonly currentTarget: { readonly value: string } }) => {
      clearTimeout(pause.current);
      handlers.onChange(event);
    },
  };
  return (
    <Field label={label} problem={problem} {...(hint !== undefined && { hint })}>
      {(ids) => {
        if (isMultiline) return <textarea rows={3} {...shared} {...ids} />;
        if (isSecret) return <input type="password" {...shared} {...ids} />;
        return <input type="text" {...shared} {...ids} />;
      }}
    </Field>
  );
}
