/** What is wrong with the rolls as they lie now, with a way to the panel; and what else is to be said beside it. */
import type { Finding } from '../../core/findings/finding.ts';
import { findingsSorted } from '../../core/findings/layout/findings.ts';
import { FindingList } from '../parts/finding-list.tsx';
import type { RollDesk } from './roll-desk.ts';

interface RollFindingsProps {
  readonly desk: RollDesk;
  readonly findings: readonly Finding[];
  readonly label: string;
}

export function RollFindings({ desk, findings, label }: RollFindingsProps) {
  const sorted = findingsSorted(findings);
  return (
    <section class="production-findings" aria-label={label}>
      <h2>
        {findings.length === 0
          ? 'Nothing to report'
          : findings.length === 1
            ? '1 finding of the nesting'
            : `${findings.length} findings of the nesting`}
      </h2>
      {findings.length > 0 && <FindingList findings={sorted} onGo={({ where }) => focusPanel(desk, where)} />}
    </section>
  );
}

/** A job knows its panels by its own ids; on shared rolls the id of the job comes before them. */
export function focusPanel(desk: RollDesk, { panelId }: Finding['where']): void {
  const item = desk.items.value.find(
    (each) => each.panelId === panelId || each.panelId.endsWith(`/${panelId}`),
  );
  if (!item) return;
  desk.chosenPanelId.value = item.panelId;
  document.querySelector<SVGElement>(`[data-panel="${CSS.escape(item.panelId)}"]`)?.focus();
}
