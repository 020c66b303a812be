/** One button in the header that leads to what comes next; nothing where nothing is left, or where it is turned off. */
import { computed } from '@preact/signals';
import { type NextStep, nextStep, nextStepText } from '../../core/proposal/next-step.ts';
import { askForArtwork } from '../bench/artwork-import.ts';
import { Button } from '../parts/button.tsx';
import { blockingFindings } from '../state/job-findings.ts';
import { outputOfNow, wasWrittenBefore } from '../state/last-output.ts';
import { isReadOnly, job, layouts } from '../state/open-job.ts';
import { type Route, route, showScreen } from '../state/route.ts';
import { settings } from '../state/settings.ts';
import { proposeSides, startStep, suggestForAll } from './start-state.ts';

const stepNow = computed<NextStep | undefined>(() => {
  const current = job.value;
  if (!current || isReadOnly.value || !settings.value.isNextStepShown) return undefined;
  const output = outputOfNow.value;
  const step = nextStep({
    job: current,
    layouts: layouts.value,
    blocking: blockingFindings.value,
    ...(output && { output }),
  });
  // A user who has saved the job before knows the steps, and may only be viewing it.
  return step?.kind === 'write' && wasWrittenBefore.value ? undefined : step;
});

const SCREEN_OF: Readonly<Record<NextStep['kind'], 'bench' | 'output' | 'history'>> = {
  import: 'bench',
  sides: 'bench',
  layouts: 'bench',
  stops: 'output',
  warnings: 'output',
  write: 'output',
  verify: 'history',
  refused: 'history',
  print: 'history',
};

export function NextStepButton() {
  const step = stepNow.value;
  const jobId = job.value?.id;
  if (!step || jobId === undefined || isOnScreen(step, route.value)) return null;
  const go = async () => {
    showScreen({ screen: SCREEN_OF[step.kind], jobId });
    if (step.kind === 'import') await askForArtwork();
    if (step.kind === 'sides') proposeSides();
    if (step.kind === 'layouts') await suggestForAll();
  };
  return (
    <Button onClick={go} title="What comes next in this job">
      Next: {nextStepText(step).replace(/^./, (letter) => letter.toLowerCase())} →
    </Button>
  );
}

/** Where the screen itself already asks for the step. */
function isOnScreen({ kind }: NextStep, { screen }: Route): boolean {
  if (kind === 'import') return screen === 'bench' && job.value?.sides.length === 0;
  if (kind === 'sides' || kind === 'layouts') return screen === 'bench' && startStep.value !== undefined;
  return screen === SCREEN_OF[kind];
}
