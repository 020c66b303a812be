import { Button } from '../parts/button.tsx';
import { showScreen } from '../state/route.ts';
import { FIRST_STEPS, showFirstStep } from './first-steps.ts';

/** Says what the first steps are, before anybody takes them. */
export function FirstStepsPage() {
  return (
    <div class="reading">
      <h1>First steps</h1>
      <p>
        Three minutes with the demo job: a bookmobile of the Alder County Library, from its artwork to panels
        that can be printed. You work in the real program; a strip above each screen says what to look at. End
        it whenever you like.
      </p>
      <ol>
        {FIRST_STEPS.map(({ title, text }) => (
          <li key={title}>
            <strong>{title}.</strong> {text}
          </li>
        ))}
      </ol>
      <div class="buttons">
        <Button isPrimary onClick={() => showFirstStep(0)}>
          Start with the demo job
        </Button>
        <Button onClick={() => showScreen({ screen: 'jobs' })}>Skip</Button>
      </div>
    </div>
  );
}
