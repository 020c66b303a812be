/** The way from a finding to where it is resolved: the screen, and the place on it. */
import { signal } from '@preact/signals';
import type { Finding } from '../../core/findings/finding.ts';
import { type FindingHome, findingHome } from '../../core/findings/layout/finding-groups.ts';
import { job } from './open-job.ts';
import { route, showScreen } from './route.ts';

/** The finding that the user went to; the screen that it leads to reads it here. */
const sought = signal<Finding | undefined>(undefined);

export function goToFinding(finding: Finding): void {
  const jobId = job.value?.id;
  if (jobId === undefined) return;
  sought.value = finding;
  const home = findingHome(finding);
  if (route.value.screen !== home) showScreen({ screen: home, jobId });
}

/** The finding that this screen is to show, once. */
export function takeSoughtFinding(home: FindingHome): Finding | undefined {
  const finding = sought.value;
  if (!finding || findingHome(finding) !== home) return undefined;
  sought.value = undefined;
  return finding;
}
