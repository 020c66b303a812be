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

/** A figure has as many digits as this where it is not a whole one, yet never fewer decimals than money has. */
const DIGITS = 5;
const MOST_DECIMALS = 4;
const LEAST_DECIMALS_KEPT = 2;

/** `0.0929`, `59.055` and `161.46`, and with cents `2.50`: what was converted looks no more exact than it is of use. */
export function numberText(value: number, leastDecimals = 0): string {
  const whole = Math.floor(Math.log10(Math.max(1, Math.abs(value)))) + 1;
  const text = decimalText(value, Math.min(MOST_DECIMALS, Math.max(LEAST_DECIMALS_KEPT, DIGITS - whole)));
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
