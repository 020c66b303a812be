import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { typedLengthText } from '../../core/measure/length-text.ts';
import { longLengthText } from '../../core/measure/long-length.ts';
import type { Mm } from '../../core/measure/units.ts';
import { Field } from './field.tsx';
import { useTyped } from './typed-text.ts';

interface LengthFieldProps {
  readonly label: string;
  /** Undefined where several things differ: the field is empty until one length is typed for all. */
  readonly mm: Mm | undefined;
  readonly unit: 'mm' | 'in' | 'm' | 'ft';
  /** A length along a roll or film, shown in feet and inches, or in meters, where it is long. */
  readonly isRun?: boolean;
  /** Returns a sentence where the length cannot be used. */
  onChange(mm: Mm): string | undefined;
  /** For an optional length: emptying the field clears it. */
  onEmpty?(): void;
  readonly hint?: string;
  readonly isDisabled?: boolean;
}

/** A length in the job's unit; any other unit may be typed (`3' 6"`, `54 in`, `1.37 m`). */
export function LengthField(props: LengthFieldProps) {
  const { label, mm, unit, isRun, onChange, onEmpty, hint, isDisabled } = props;
  const shown = (length: Mm) =>
    isRun && (unit === 'mm' || unit === 'in') ? longLengthText(length, unit) : typedLengthText(length, unit);
  const { problem, handlers } = useTyped(mm === undefined ? '' : shown(mm), (text) => {
    if (onEmpty && text.trim() === '') {
      onEmpty();
      return undefined;
    }
    const length = lengthFromText(text, unit);
    return length.ok ? onChange(length.value) : length.problem.message;
  });
  return (
    <Field label={label} problem={problem} {...(hint !== undefined && { hint })}>
      {(ids) => <input class="input number" disabled={isDisabled ?? false} {...handlers} {...ids} />}
    </Field>
  );
}
