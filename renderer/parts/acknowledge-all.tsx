/** Acknowledges all open warnings in one act; they are listed below it, each with what to do. */
import { useState } from 'preact/hooks';
import { acknowledgementOf } from '../../core/findings/layout/findings.ts';
import type { Job } from '../../core/job/schema.ts';
import { blockingFindings } from '../state/job-findings.ts';
import { isReadOnly } from '../state/open-job.ts';
import { acknowledge, isPreparerAsked, nameToSign } from '../state/signature.ts';
import { Button } from './button.tsx';
import { TextField } from './field.tsx';
import { PREPARER_SENTENCE } from './signature-field.tsx';

export function AcknowledgeAll({ job }: { readonly job: Job }) {
  const [by, setBy] = useState(nameToSign(job));
  const [note, setNote] = useState('');
  const open = blockingFindings.value.filter(({ severity }) => severity === 'warn');
  if (open.length === 0 || isReadOnly.value) return null;
  const isNamed = by.trim() !== '';
  return (
    <form
      class="acknowledge-all"
      onSubmit={(event) => {
        event.preventDefault();
        if (isNamed) acknowledge(open.map((finding) => acknowledgementOf(finding, by.trim(), note.trim())));
      }}
    >
      <p>
        {open.length === 1
          ? '1 warning waits to be acknowledged. It stands below.'
          : `${open.length} warnings wait to be acknowledged. They stand below.`}
        {isPreparerAsked(job) && ` ${PREPARER_SENTENCE}`}
      </p>
      <TextField label="Your name, for the ticket" value={by} onInput={setBy} onChange={setBy} />
      <TextField
        label="Note for the ticket, if there is one"
        value={note}
        onInput={setNote}
        onChange={setNote}
      />
      <Button isSubmit isPrimary isDisabled={!isNamed}>
        {open.length === 1 ? 'Acknowledge this warning' : `Acknowledge all ${open.length} warnings`}
      </Button>
    </form>
  );
}
