import type { Finding } from '../../core/findings/finding.ts';
import { type FindingHome, findingGroups, findingHome } from '../../core/findings/layout/finding-groups.ts';
import type { Job } from '../../core/job/schema.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { firstOf } from '../../core/measure/present.ts';
import { printable } from './terminal.ts';

const MARK = { stop: 'STOP', warn: 'WARN', note: 'note' } as const;

/** `STOP  LH-03 is 1,560 mm wide … → Move the seam …` */
export function findingLines(findings: readonly Finding[]): string[] {
  return findings.map(
    ({ severity, message, remedy }) => `${MARK[severity]}  ${printable(message)} → ${printable(remedy)}`,
  );
}

/** As findingLines, but equal findings as one line with the place of each, and where each is mended. */
export function findingGroupLines(
  job: Job,
  layouts: readonly SideLayout[],
  findings: readonly Finding[],
): string[] {
  return findingGroups(job, layouts, findings).map(
    ({ severity, isAcknowledged, title, remedy, findings: alike }) =>
      `${isAcknowledged ? 'ack.' : MARK[severity]}  ${printable(title)} → ${printable(remedy)} (${HOMES[findingHome(firstOf(alike))]})`,
  );
}

const HOMES: Readonly<Record<FindingHome, string>> = {
  bench: 'on the bench',
  production: 'under production',
  sheets: 'under sheets',
  output: 'under output',
};
