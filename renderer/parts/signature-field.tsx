import type { Job } from '../../core/job/schema.ts';
import { isPreparerAsked } from '../state/signature.ts';
import { TextField } from './field.tsx';

export const PREPARER_SENTENCE = 'The name becomes “Prepared by” of this job and of new ones.';

interface SignatureFieldProps {
  readonly job: Job;
  readonly value: string;
  onChange(name: string): void;
}

/** Asks for the name under an acknowledgement. */
export function SignatureField({ job, value, onChange }: SignatureFieldProps) {
  return (
    <TextField
      label="Your name, for the ticket"
      value={value}
      onInput={onChange}
      onChange={onChange}
      {...(isPreparerAsked(job) && { hint: PREPARER_SENTENCE })}
    />
  );
}
