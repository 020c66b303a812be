import { useState } from 'preact/hooks';
import { type Finding, findingKey } from '../../core/findings/finding.ts';
import { acknowledgementOf, isAcknowledged } from '../../core/findings/layout/findings.ts';
import { findingAcknowledge, findingUnacknowledge } from '../../core/job/edits/edits.ts';
import { editJob, isReadOnly, job } from '../state/open-job.ts';
import { Button } from './button.tsx';
import { TextField } from './field.tsx';

interface FindingListProps {
  readonly findings: readonly Finding[];
  /** Shows the place of a finding; absent where there is nothing to show it on. */
  onGo?(finding: Finding): void;
}

const WORDS = { stop: 'Stop', warn: 'Warning', note: 'Note' } as const;

/** What the checks say, the most serious first; a warning can be acknowledged with a note. */
export function FindingList({ findings, onGo }: FindingListProps) {
  if (findings.length === 0) return <p class="quiet">Nothing to report.</p>;
  return (
    <ul class="findings">
      {findings.map((finding) => (
        <FindingItem
          key={`${findingKey(finding)} ${finding.message}`}
          finding={finding}
          {...(onGo && { onGo })}
        />
      ))}
    </ul>
  );
}

function FindingItem({ finding, onGo }: { readonly finding: Finding; onGo?(finding: Finding): void }) {
  const key = findingKey(finding);
  const acknowledged =
    job.value && isAcknowledged(job.value, finding)
      ? job.value.acknowledgements.find((given) => given.finding === key)
      : undefined;
  const { severity, message, remedy } = finding;
  return (
    <li class={`finding ${severity}`}>
      <div>
        <strong>{acknowledged ? 'Acknowledged' : WORDS[severity]}</strong>
        <p>{message}</p>
        <p class="quiet">{remedy}</p>
        {acknowledged?.note && <p>Note: {acknowledged.note}</p>}
      </div>
      <div class="finding-actions">
        {onGo && (finding.where.sideId ?? finding.where.panelId) !== undefined && (
          <Button onClick={() => onGo(finding)}>Show</Button>
        )}
        {severity === 'warn' && job.value && !isReadOnly.value && (
          <Acknowledge finding={finding} isAccepted={acknowledged !== undefined} />
        )}
      </div>
    </li>
  );
}

function Acknowledge({ finding, isAccepted }: { readonly finding: Finding; readonly isAccepted: boolean }) {
  const [isAsking, setAsking] = useState(false);
  const [note, setNote] = useState('');
  if (isAccepted) {
    return (
      <Button
        onClick={() => {
          editJob('Take an acknowledgement back', (current) =>
            findingUnacknowledge(current, { finding: findingKey(finding) }),
          );
        }}
      >
        Take back
      </Button>
    );
  }
  if (!isAsking) return <Button onClick={() => setAsking(true)}>Acknowledge</Button>;
  return (
    <div class="acknowledge">
      <TextField label="Note for the ticket" value={note} onInput={setNote} onChange={setNote} />
      <Button
        isPrimary
        isDisabled={note.trim() === ''}
        onClick={() => {
          editJob('Acknowledge a warning', (current) =>
            findingAcknowledge(current, acknowledgementOf(finding, current.preparedBy, note)),
          );
          setAsking(false);
        }}
      >
        Acknowledge
      </Button>
      <Button onClick={() => setAsking(false)}>Cancel</Button>
    </div>
  );
}
