import { decimalText } from '../../core/measure/length-text.ts';
import { Field } from './field.tsx';
import { useTyped } from './typed-text.ts';

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
  const { problem, handlers } = useTyped(decimalText(value, DECIMALS), (text) => {
    const plain = text.trim().replace(',', '.');
    return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)
      ? onChange(Number(plain))
      : `“${text.slice(0, 40)}” is not a number.`;
  });
  return (
    <Field label={label} problem={problem} {...(hint !== undefined && { hint })}>
      {(ids) => <input class="input number" inputMode="decimal" {...handlers} {...ids} />}
    </Field>
  );
}
