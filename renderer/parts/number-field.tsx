import { useState } from 'preact/hooks';
import { decimalText } from '../../core/measure/length-text.ts';
import { Field } from './field.tsx';

interface NumberFieldProps {
  readonly label: string;
  readonly value: number;
  /** Shown after the label: `%`, `1:`. */
  readonly hint?: string;
  /** Returns a sentence where the number cannot be used. */
  onChange(value: number): string | undefined;
}

const DECIMALS = 4;

/** A plain number with a decimal point or comma. */
export function NumberField({ label, value, hint, onChange }: NumberFieldProps) {
  const [typed, setTyped] = useState<string>();
  const [problem, setProblem] = useState<string>();
  const take = (text: string) => {
    const plain = text.trim().replace(',', '.');
    const refused = /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)
      ? onChange(Number(plain))
      : `“${text.slice(0, 40)}” is not a number.`;
    setProblem(refused);
    setTyped(refused === undefined ? undefined : text);
  };
  return (
    <Field label={label} problem={problem} {...(hint !== undefined && { hint })}>
      {(ids) => (
        <input
          class="input number"
          inputMode="decimal"
          value={typed ?? decimalText(value, DECIMALS)}
          onChange={(event) => take(event.currentTarget.value)}
          {...ids}
        />
      )}
    </Field>
  );
}
