/** What is wrong with the rolls as they lie now, with a way to the panel; and what else is to be said beside it. */
import type { Finding } from '../../core/findings/finding.ts';
import { findingsSorted } from '../../core/findings/layout/findings.ts';
import { FindingList } from '../parts/finding-list.tsx';
import type { RollDesk } from './roll-desk.ts';

/** What only planning can find: why a panel was laid nowhere. */
const PLANNING_CODES: ReadonlySet<string> = new Set([
  'roll-none',
  'roll-panel-too-wide',
  'roll-panel-over-longest-print',
  'roll-panel-too-long',
  'roll-nothing-left',
  'roll-side-two-directions',
]);

/** Found by looking at how the panels could print at all, and not at where they lie. */
const JOB_CODES: ReadonlySet<string> = new Set(['roll-side-mixed-directions']);

interface RollFindingsProps {
  readonly desk: RollDesk;
  /** Of the plan as it was last laid, and of whatever else; what the rolls say now takes the place of what they said. */
  readonly made: readonly Finding[];
  readonly label: string;
  /** Nothing is being laid anew, so a panel that lies nowhere is not about to be laid. */
  readonly isSettled: boolean;
}

export function RollFindings({ desk, made, label, isSettled }: RollFindingsProps) {
  const [laid, check] = [desk.laid.value, desk.liveCheck.value];
  if (!laid || !check) return null;
  const isOfRolls = ({ code }: Finding) => code.startsWith('roll-') && !JOB_CODES.has(code);
  const unlaid = made.filter(
    ({ code, where }) =>
      PLANNING_CODES.has(code) && (!where.panelId || laid.plan.unplacedPanelIds.includes(where.panelId)),
  );
  // Why a panel lies nowhere says more than that it does.
  const told = new Set(unlaid.map(({ where }) => where.panelId));
  const isTold = (panelId: string | undefined) => !isSettled || told.has(undefined) || told.has(panelId);
  const live = check.findings.filter(
    ({ code, where }) => code !== 'roll-panel-without-place' || !isTold(where.panelId),
  );
  const found = findingsSorted([...live, ...unlaid, ...made.filter((finding) => !isOfRolls(finding))]);
  return (
    <section class="production-findings" aria-label={label}>
      <h2>
        {found.length === 0
          ? 'Nothing to report'
          : found.length === 1
            ? '1 finding'
            : `${found.length} findings`}
      </h2>
      {found.length > 0 && <FindingList findings={found} onGo={({ where }) => panelFocus(desk, where)} />}
    </section>
  );
}

function panelFocus(desk: RollDesk, { panelId }: Finding['where']): void {
  if (panelId === undefined) return;
  desk.chosenPanelId.value = panelId;
  document.querySelector<SVGElement>(`[data-panel="${CSS.escape(panelId)}"]`)?.focus();
}
