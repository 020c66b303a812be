import { useEffect, useRef, useState } from 'preact/hooks';
import type { Finding } from '../../core/findings/finding.ts';
import { findingKey } from '../../core/findings/finding.ts';
import {
  type FindingGroup,
  findingGroups,
  findingHome,
  findingId,
} from '../../core/findings/layout/finding-groups.ts';
import { acknowledgementOf } from '../../core/findings/layout/findings.ts';
import { findingsUnacknowledge } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import { firstOf } from '../../core/measure/present.ts';
import { termOfFinding } from '../../core/words/finding-terms.ts';
import { goToFinding } from '../state/finding-way.ts';
import { editJob, isReadOnly, job, layouts } from '../state/open-job.ts';
import { route } from '../state/route.ts';
import { acknowledge, nameToSign } from '../state/signature.ts';
import { Button } from './button.tsx';
import { TextField } from './field.tsx';
import { LetteringActions } from './lettering-actions.tsx';
import { SignatureField } from './signature-field.tsx';
import { Term } from './term.tsx';

interface FindingListProps {
  readonly findings: readonly Finding[];
  /**
   * Shows the place of a finding; without it, a finding of the open job is shown on the screen where it is resolved.
   */
  onGo?(finding: Finding): void;
}

const WORDS = { stop: 'Stop', warn: 'Warning', note: 'Note' } as const;

/**
 * Findings, most serious first, with equal ones as one expandable line; warnings can be acknowledged with a note, equal
 * ones together.
 */
export function FindingList({ findings, onGo }: FindingListProps) {
  if (findings.length === 0) return <p class="quiet">Nothing to report.</p>;
  const current = job.value;
  // Findings of several jobs on one roll have no job to be grouped by.
  const groups = current
    ? findingGroups(current, layouts.value, findings)
    : findings.map((finding) => groupOfOne(finding));
  return (
    <ul class="findings">
      {groups.map((group) => (
        <GroupItem key={group.key} group={group} {...(current && { current })} {...(onGo && { onGo })} />
      ))}
    </ul>
  );
}

const groupOfOne = (finding: Finding): FindingGroup => ({
  key: findingId(finding),
  severity: finding.severity,
  isAcknowledged: false,
  findings: [finding],
  title: finding.message,
  remedy: finding.remedy,
});

interface GroupItemProps {
  readonly group: FindingGroup;
  readonly current?: Job;
  onGo?(finding: Finding): void;
}

function GroupItem({ group, current, onGo }: GroupItemProps) {
  const { severity, isAcknowledged, findings, title, remedy } = group;
  const [only] = findings.length === 1 ? findings : [];
  const term = termOfFinding(firstOf(findings).code);
  return (
    <li class={`finding ${severity}`}>
      <div>
        <p>
          <strong>{isAcknowledged ? 'Acknowledged' : WORDS[severity]}</strong> {title}
          {term && <Term id={term} />}
        </p>
        <p class="quiet">{remedy}</p>
        {only && current && <Answer finding={only} current={current} />}
      </div>
      <div class="finding-actions">
        {only && <Actions finding={only} {...(onGo && { onGo })} />}
        {severity === 'warn' && current && !isReadOnly.value && (
          <Acknowledge group={group} current={current} />
        )}
      </div>
      {!only && (
        <details class="finding-members">
          <summary>Each of the {findings.length}</summary>
          <ul class="findings">
            {findings.map((finding) => (
              <li key={findingId(finding)} class="finding-member">
                <div>
                  <p>{finding.message}</p>
                  {remedy !== finding.remedy && <p class="quiet">{finding.remedy}</p>}
                  {current && <Answer finding={finding} current={current} />}
                </div>
                <div class="finding-actions">
                  <Actions finding={finding} {...(onGo && { onGo })} />
                </div>
              </li>
            ))}
          </ul>
        </details>
      )}
    </li>
  );
}

/** Who acknowledged a finding, and why. */
function Answer({ finding, current }: { readonly finding: Finding; readonly current: Job }) {
  const key = findingKey(finding);
  const given = current.acknowledgements.find((each) => each.finding === key);
  if (!given || finding.severity !== 'warn') return null;
  return (
    <p>
      {given.by ? `By ${given.by}. ` : ''}
      {given.note && `Note: ${given.note}`}
    </p>
  );
}

function Actions({ finding, onGo }: { readonly finding: Finding; onGo?(finding: Finding): void }) {
  const home = findingHome(finding);
  const isHere = route.value.screen === home;
  return (
    <>
      {onGo ? (
        <Button onClick={() => onGo(finding)}>Go to</Button>
      ) : (
        job.value && (
          <Button onClick={() => goToFinding(finding)}>{isHere ? 'Go to' : `Go to ${home}`}</Button>
        )
      )}
      {job.value && !isReadOnly.value && <LetteringActions finding={finding} />}
    </>
  );
}

function Acknowledge({ group, current }: { readonly group: FindingGroup; readonly current: Job }) {
  const [isAsking, setAsking] = useState(false);
  const [note, setNote] = useState('');
  const [by, setBy] = useState(nameToSign(current));
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => {
    if (isAsking) form.current?.querySelector<HTMLElement>('input')?.focus();
  }, [isAsking]);
  const { findings, isAcknowledged } = group;
  const count = findings.length;
  if (isAcknowledged) {
    return (
      <Button
        onClick={() => {
          editJob('Remove an acknowledgement', (now) =>
            findingsUnacknowledge(now, { findings: findings.map(findingKey) }),
          );
        }}
      >
        {count === 1 ? 'Remove acknowledgement' : `Remove ${count} acknowledgements`}
      </Button>
    );
  }
  const label = count === 1 ? 'Acknowledge' : `Acknowledge all ${count}`;
  if (!isAsking) return <Button onClick={() => setAsking(true)}>{label}</Button>;
  const isNamed = by.trim() !== '';
  return (
    <form
      ref={form}
      class="acknowledge"
      onSubmit={(event) => {
        event.preventDefault();
        if (!isNamed) return;
        acknowledge(findings.map((finding) => acknowledgementOf(finding, by.trim(), note.trim())));
        setAsking(false);
      }}
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return;
        event.stopPropagation();
        setAsking(false);
      }}
    >
      <SignatureField job={current} value={by} onChange={setBy} />
      <TextField
        label="Note for the ticket, if there is one"
        value={note}
        onInput={setNote}
        onChange={setNote}
      />
      <Button isPrimary isSubmit isDisabled={!isNamed}>
        {label}
      </Button>
      <Button onClick={() => setAsking(false)}>Cancel</Button>
    </form>
  );
}
