import { useEffect, useRef } from 'preact/hooks';
import { itemAt } from '../../core/measure/present.ts';
import { Button } from '../parts/button.tsx';
import { job } from '../state/open-job.ts';
import { route, showScreen } from '../state/route.ts';
import { settings } from '../state/settings.ts';
import { endFirstSteps, FIRST_STEPS, showFirstStep, showStageOfStep } from './first-steps.ts';
import { Keys } from './keys.tsx';

/** The current step, above the screen that it is about. */
export function FirstStepsStrip() {
  const at = settings.value.firstStep;
  const step = at === undefined ? undefined : FIRST_STEPS[at];
  const title = useRef<HTMLHeadingElement>(null);
  const jobId = job.value?.id;
  useEffect(() => {
    if (!step || jobId === undefined) return;
    showStageOfStep();
    title.current?.focus();
  }, [at, jobId]);
  if (!step || at === undefined || !('jobId' in route.value)) return null;
  const isLast = at === FIRST_STEPS.length - 1;
  return (
    <section class="first-steps-strip" aria-label="First steps">
      <div>
        <h2 ref={title} tabIndex={-1}>
          {at + 1} of {FIRST_STEPS.length}: {step.title}
        </h2>
        <p>{step.text}</p>
        <p class="help">
          <span>
            {step.look}
            <Keys of={step.commands ?? []} />
          </span>
        </p>
      </div>
      <div class="buttons">
        {at > 0 && <Button onClick={() => showFirstStep(at - 1)}>Back</Button>}
        {isLast ? (
          <Button
            isPrimary
            onClick={() => {
              endFirstSteps();
              showScreen({ screen: 'jobs' });
            }}
          >
            Go to the jobs
          </Button>
        ) : (
          <Button isPrimary onClick={() => showFirstStep(at + 1)}>
            Next: {itemAt(FIRST_STEPS, at + 1).title}
          </Button>
        )}
        <Button onClick={endFirstSteps}>End the first steps</Button>
      </div>
    </section>
  );
}
