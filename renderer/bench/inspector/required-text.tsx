import { useState } from 'preact/hooks';
import { TextField } from '../../parts/field.tsx';

interface RequiredTextProps {
  readonly label: string;
  readonly value: string;
  set(value: string): string | undefined;
}

/** Text that must not be empty. */
export function RequiredText({ label, value, set }: RequiredTextProps) {
  const [problem, setProblem] = useState<string>();
  return (
    <TextField
      label={label}
      value={value}
      problem={problem}
      onChange={(text) => setProblem(text.trim() === '' ? `${label} must not be empty.` : set(text))}
    />
  );
}
