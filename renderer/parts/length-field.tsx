import { useState } from 'preact/hooks';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import type { Mm } from '../../core/measure/units.ts';
import { Field } from './field.tsx';

interface LengthFieldProps {
  readonly label: string;
  /** Undefined where several things differ: the field is empty until somebody types one length for all. */
  readonly mm: Mm | undefined;
  readonly unit: 'mm' | 'in';
  /** Returns a sentence where the length cannot be used. */
  onChange(mm: Mm): string | undefined;
  readonly hint?: string;
  readonly isDisabled?: boolean;
}

/** A length in the job's unit; any other unit may be typed (`3' 6"`, `54 in`, `1.37 m`). */
export function LengthField({ label, mm, unit, onChange, hint, isDisabled }: LengthFieldProps) {
  const [typed, setTyped] = useState<string>();
  const [problem, setProblem] = useState<string>();

  const shown = mm === undefined ? '' : lengthText(mm, unit);

  const take = (text: string) => {
    if (text === shown) return;
    const length = lengthFromText(text, unit);
    const refused = length.ok ? onChange(length.value) : length.problem.message;
    setProblem(refused);
    setTyped(refused === undefined ? undefined : text);
  };

  return (
    <Field label={label} problem={problem} {...(hint !== undefined && { hint })}>
      {(ids) => (
        <input
          class="input number"
          value={typed ?? shown}
          disabled={isDisabled ?? false}
          onChange={(event) => take(event.currentTarget.value)}
          onKeyDown={(event) => {
            if (event.key !== 'Escape') return;
            setTyped(undefined);
            setProblem(undefined);
            event.currentTarget.value = shown;
          }}
          {...ids}
        />
      )}
    </Field>
  );
}
