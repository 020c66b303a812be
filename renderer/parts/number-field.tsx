import { decimalText } from '../../core/measure/length-text.ts';
import { Field } from './field.tsx';
import { useTyped } from './typed-text.ts';

interface NumberFieldProps {
  readonly label: string;
  readonly value: number;
  /** Shown after the label: `%`, `1:`. */
  readonly hint?: string;
  /** Prices keep their cents: 2.50, not 2.5. */
  readonly leastDecimals?: number;
  /** Returns a sentence where the number cannot be used. */
  onChange(value: number): string | undefined;
}

const DECIMALS = 4;

/** `0.0929`, and with cents `2.50`; a third and fourth decimal stay. */
export function numberText(value: number, leastDecimals = 0): string {
  const text = decimalText(value, DECIMALS);
  const decimals = text.split('.')[1]?.length ?? 0;
  return decimals < leastDecimals ? Number(text).toFixed(leastDecimals) : text;
}

/** A plain number with a decimal point or comma. */
export function NumberField({ label, value, hint, leastDecimals = 0, onChange }: NumberFieldProps) {
  const { problem, handlers } = useTyped(numberText(value, leastDecimals), (text) => {
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
