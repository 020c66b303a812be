import { useState } from 'preact/hooks';
import { decimalText } from '../../core/measure/length-text.ts';
import { Field } from './field.tsx';

interface OptionalNumberFieldProps {
  readonly label: string;
  readonly value: number | undefined;
  /** What an empty field means: `not measured`. */
  readonly empty: string;
  readonly hint?: string;
  /** Returns a sentence where the number cannot be used. */
  onChange(value: number | undefined): string | undefined;
}

const DECIMALS = 4;

/** A number that nobody has to know: an emptied field takes it back. */
export function OptionalNumberField({ label, value, empty, hint, onChange }: OptionalNumberFieldProps) {
  const [typed, setTyped] = useState<string>();
  const [problem, setProblem] = useState<string>();
  const take = (text: string) => {
    const plain = text.trim().replace(',', '.');
    const isNumber = /^(\d+\.?\d*|\.\d+)$/.test(plain);
    const refused =
      plain === ''
        ? onChange(undefined)
        : isNumber
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
          placeholder={empty}
          value={typed ?? (value === undefined ? '' : decimalText(value, DECIMALS))}
          onChange={(event) => take(event.currentTarget.value)}
          {...ids}
        />
      )}
    </Field>
  );
}
