import { filmText, planVerdict } from './plan-verdict.ts';
import type { RollDesk } from './roll-desk.ts';

interface RollVerdictProps {
  readonly desk: RollDesk;
  /** The nesting is the one that is asked for now. */
  readonly isSettled: boolean;
}

/** While a panel is in hand, what its move does; else how good the plan is. */
export function RollVerdict({ desk, isSettled }: RollVerdictProps) {
  const [laid, check] = [desk.laid.value, desk.liveCheck.value];
  if (!laid || !check) return null;
  const { unit } = laid.rules;
  if (!desk.dragged.value) {
    return (
      <p class="verdict" role="status">
        {isSettled ? planVerdict(laid.plan, laid.rolls, unit) : 'Nesting panels…'}
      </p>
    );
  }
  const used = filmText({ lengthMm: check.filmUsedMm, areaMm2: check.filmAreaMm2 }, laid.rolls, unit);
  const stops = check.findings.filter(({ severity }) => severity === 'stop').length;
  return (
    <p class="verdict">
      In hand: {used} of film as it is now.
      {stops > 0 && (
        <strong class="verdict-stops">
          {' '}
          ▲ {stops === 1 ? '1 finding stops' : `${stops} findings stop`} it.
        </strong>
      )}
    </p>
  );
}
