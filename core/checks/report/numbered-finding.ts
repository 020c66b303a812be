import { type Finding, findingKey, type Severity } from '../../findings/finding.ts';
import { isAcknowledged } from '../../findings/layout/findings.ts';
import type { Job } from '../../job/schema.ts';

/** A finding with its number in the tables and pictures of the report. */
export interface NumberedFinding {
  readonly number: number;
  readonly finding: Finding;
}

export const findingsNumbered = (findings: readonly Finding[]): NumberedFinding[] =>
  findings.map((finding, index) => ({ number: index + 1, finding }));

/** What each severity means for the designer. */
export const DESIGNER_WEIGHTS: Readonly<Record<Severity, string>> = {
  stop: 'must change',
  warn: 'please change',
  note: 'to know',
};

/** `STOP`, `WARN`, `warn, accepted by Prepress`, `note` */
export function severityText(job: Job, finding: Finding): string {
  if (finding.severity !== 'warn') return finding.severity === 'stop' ? 'STOP' : 'note';
  if (!isAcknowledged(job, finding)) return 'WARN';
  const given = job.acknowledgements.find((one) => one.finding === findingKey(finding));
  return given?.by ? `acknowledged by ${given.by}` : 'accepted';
}
