import { decimalText } from '../../core/measure/length-text.ts';
import { Field } from './field.tsx';
import { useTyped } from './typed-text.ts';

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

/** An optional number: emptying the field clears it. */
export function OptionalNumberField({ label, value, empty, hint, onChange }: OptionalNumberFieldProps) {
  const shown = value === undefined ? '' : decimalText(value, DECIMALS);
  const { problem, handlers } = useTyped(shown, (text) => {
    const plain = text.trim().replace(',', '.');
    if (plain === '') return onChange(undefined);
    return /^(\d+\.?\d*|\.\d+)$/.test(plain)
      ? onChange(Number(plain))
      : `“${text.slice(0, 40)}” is not a number.`;
  });
  return (
    <Field label={label} problem={problem} {...(hint !== undefined && { hint })}>
      {(ids) => <input class="input number" inputMode="decimal" placeholder={empty} {...handlers} {...ids} />}
    </Field>
  );
}
