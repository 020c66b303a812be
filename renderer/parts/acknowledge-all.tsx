/** All warnings that are still open, acknowledged by one act: they stand in sight below it, each with what to do. */
import { useState } from 'preact/hooks';
import { acknowledgementOf } from '../../core/findings/layout/findings.ts';
import { findingsAcknowledge } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import { blockingFindings } from '../state/job-findings.ts';
import { editJob, isReadOnly } from '../state/open-job.ts';
import { Button } from './button.tsx';
import { TextField } from './field.tsx';

export function AcknowledgeAll({ job }: { readonly job: Job }) {
  const [by, setBy] = useState(job.preparedBy);
  const [note, setNote] = useState('');
  const open = blockingFindings.value.filter(({ severity }) => severity === 'warn');
  if (open.length === 0 || isReadOnly.value) return null;
  const isNamed = by.trim() !== '';
  const acknowledge = () => {
    editJob(open.length === 1 ? 'Acknowledge a warning' : `Acknowledge ${open.length} warnings`, (now) =>
      findingsAcknowledge(
        now,
        open.map((finding) => acknowledgementOf(finding, by.trim(), note.trim())),
      ),
    );
  };
  return (
    <form
      class="acknowledge-all"
      onSubmit={(event) => {
        event.preventDefault();
        if (isNamed) acknowledge();
      }}
    >
      <p>
        {open.length === 1
          ? '1 warning waits for somebody to acknowledge it. It stands below.'
          : `${open.length} warnings wait for somebody to acknowledge them. They stand below.`}
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
