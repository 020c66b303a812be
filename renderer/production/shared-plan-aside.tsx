/** Beside a shared plan: whose panels are whose, how much film it takes, and what can be done with it. */
import { useId } from 'preact/hooks';
import { firstOf } from '../../core/measure/present.ts';
import type { FilmsOfJobs } from '../../core/production/shared-film.ts';
import { filmsOfRecord, type SharedRollRecord } from '../../core/production/shared-roll-record.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import { Button } from '../parts/button.tsx';
import { Facts, Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { addressFromRoute, showScreen } from '../state/route.ts';
import { shopItems } from '../state/shop.ts';
import { JobSwatch } from './job-pattern.tsx';
import { filmText } from './plan-verdict.ts';
import {
  canRedo,
  canUndo,
  changes,
  isLaying,
  isOvertaken,
  keepPlan,
  record,
  renest,
  shared,
  sharedDesk,
  sharedFilms,
  stepRedone,
  stepUndone,
  takeRollsFrom,
  writeSheet,
} from './shared-roll-state.ts';

/** `chosenIds`: all jobs that were chosen, those on other film included. */
export function SharedPlanAside({ chosenIds }: { readonly chosenIds: readonly string[] }) {
  const plan = shared.value;
  if (!plan) return null;
  return (
    <>
      <Jobs plan={plan} chosenIds={chosenIds} />
      <Film plan={plan} />
      <Plan />
    </>
  );
}

interface JobsProps {
  readonly plan: SharedRolls;
  readonly chosenIds: readonly string[];
}

function Jobs({ plan, chosenIds }: JobsProps) {
  const head = useId();
  const ids = plan.jobs.map(({ id }) => id);
  const others = shopItems.value.sharedRolls.filter(
    (kept) => kept.id !== record.value?.id && isOnSameFilm(kept, sharedFilms.value),
  );
  return (
    <section class="fields" aria-labelledby={head}>
      <h2 id={head}>Jobs on this film</h2>
      <ul class="shared-jobs">
        {plan.jobs.map(({ id, mark, name, customer, panelIds }, index) => (
          <li key={id}>
            <JobSwatch index={index} />
            <div>
              <a href={addressFromRoute({ screen: 'production', jobId: id })}>{mark}</a>
              <p>
                {name}, {customer}
              </p>
              <p class="quiet">
                {panelIds.length} {panelIds.length === 1 ? 'panel' : 'panels'}
              </p>
            </div>
            <Button
              title={`Take ${mark} off these rolls`}
              onClick={() =>
                showScreen({ screen: 'shared-rolls', jobIds: chosenIds.filter((each) => each !== id) })
              }
            >
              Take off
            </Button>
          </li>
        ))}
      </ul>
      {others.map(({ id, jobs }) => (
        <p key={id} class="quiet">
          {jobs
            .filter((job) => ids.includes(job.id))
            .map(({ mark }) => mark)
            .join(', ')}{' '}
          also {jobs.filter((job) => ids.includes(job.id)).length === 1 ? 'lies' : 'lie'} in the plan kept for{' '}
          {jobs.map(({ mark }) => mark).join(', ')}: print from one of them only.
        </p>
      ))}
    </section>
  );
}

/** Whether a panel could be printed from both nestings. */
const isOnSameFilm = (kept: SharedRollRecord, films: FilmsOfJobs): boolean =>
  Object.entries(filmsOfRecord(kept)).some(([jobId, filmId]) => films[jobId] === filmId);

function Film({ plan: { film, jobs, rolls, rules, plan, areRollsEntered } }: { readonly plan: SharedRolls }) {
  const check = sharedDesk.liveCheck.value;
  if (!check) return null;
  const { unit } = rules;
  const used = filmText({ lengthMm: check.filmUsedMm, areaMm2: check.filmAreaMm2 }, rolls, unit);
  const distance = plan.isShortest ? 'none, proved' : `${plan.distancePercent.toFixed(1)} %`;
  const isCurrent = !isLaying.value && !sharedDesk.dragged.value;
  return (
    <Section title={film}>
      <Facts
        rows={[
          ['Film used', used],
          ['Least that any nesting needs', isCurrent ? filmText(plan.bound, rolls, unit) : '…'],
          ['Above that bound', isCurrent ? distance : '…'],
          ['Rolls', String(check.uses.length)],
          ['Roll changes', String(check.rollChanges)],
        ]}
      />
      <SelectField
        label="Rolls and rules of job"
        value={firstOf(jobs).id}
        options={jobs.map(({ id, mark }) => ({ value: id, label: mark }))}
        hint={
          areRollsEntered
            ? 'The rolls at hand that this job names, partial rolls included.'
            : 'Full rolls. To use partial rolls first, enter them on that job’s Production screen.'
        }
        onChange={(id) => void takeRollsFrom(id)}
      />
    </Section>
  );
}

function keptWords(): string {
  if (isOvertaken.value) return 'Not kept: the archive has the nesting of the other window.';
  if (record.value === undefined) return 'Not kept yet. It is kept from the first change on.';
  return changes.value.length > 0
    ? 'Kept in the archive, as it was before the changes.'
    : 'Kept in the archive.';
}

function Plan() {
  const isKept = record.value !== undefined;
  return (
    <Section title="This nesting">
      <p role="status">{keptWords()}</p>
      <div class="buttons">
        {!isKept && (
          <Button isDisabled={isLaying.value} onClick={keepPlan}>
            Keep this nesting
          </Button>
        )}
        <Button isPrimary isDisabled={isLaying.value} onClick={writeSheet}>
          Write the nesting sheet
        </Button>
        <Button onClick={renest} title="Nest all panels again that are not locked">
          Re-nest
        </Button>
        <Button isDisabled={!canUndo.value} onClick={stepUndone} title="Undo the last move (Ctrl+Z)">
          Undo
        </Button>
        <Button isDisabled={!canRedo.value} onClick={stepRedone} title="Redo what was undone (Ctrl+Y)">
          Redo
        </Button>
      </div>
    </Section>
  );
}
