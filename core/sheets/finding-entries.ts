/** The findings of a job as entries of a list on a sheet. */

import { type Finding, findingKey, type Severity } from '../findings/finding.ts';
import { type FindingGroup, findingGroups } from '../findings/layout/finding-groups.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';

/** The findings of the job, with equal ones grouped; each stop and warning has who acknowledged it and why. */
export function findingEntries(
  job: Job,
  layouts: readonly SideLayout[],
  findings: readonly Finding[],
): { mark: string; text: string }[] {
  return findingGroups(job, layouts, findings).map((group) => ({
    mark: MARKS[group.severity],
    text: `${group.title} ${answerText(job, group)}`.trim(),
  }));
}

const MARKS: Readonly<Record<Severity, string>> = { stop: '✖', warn: '!', note: '·' };

function answerText(job: Job, { severity, findings, isAcknowledged }: FindingGroup): string {
  if (severity === 'note') return '';
  if (!isAcknowledged) return severity === 'warn' ? 'NOT ACKNOWLEDGED YET.' : 'STOPS THE OUTPUT.';
  const answers = findings.map((finding) => {
    const key = findingKey(finding);
    const given = job.acknowledgements.find((acknowledgement) => acknowledgement.finding === key);
    // Many people end a note as a sentence.
    const note = given?.note.trim().replace(/\.$/, '');
    return `Acknowledged by ${given?.by || 'nobody named'}${note ? `: ${note}` : ''}.`;
  });
  return [...new Set(answers)].join(' ');
}
