/** The panels of several jobs on the rolls of one film: drawn, dragged, locked, nested again, saved and written. */
import { useEffect } from 'preact/hooks';
import { listText } from '../../core/measure/list-text.ts';
import { Button } from '../parts/button.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { JobPatternDefinitions } from '../production/job-pattern.tsx';
import { PanelPlaceForm } from '../production/panel-place-form.tsx';
import { RollBoard } from '../production/roll-board.tsx';
import { RollFindings } from '../production/roll-findings.tsx';
import { RollVerdict } from '../production/roll-verdict.tsx';
import { SharedJobPicker } from '../production/shared-job-picker.tsx';
import { SharedPlanAside } from '../production/shared-plan-aside.tsx';
import {
  changes,
  films,
  hasFallenApart,
  isLaying,
  isOvertaken,
  isSlow,
  keepThisPlan,
  openKeptPlan,
  openSharedRolls,
  renest,
  shared,
  sharedDesk,
  sharedFilms,
  sharedJobIds,
  sharedWork,
  showFilm,
} from '../production/shared-roll-state.ts';

interface SharedRollsScreenProps {
  readonly jobIds: readonly string[];
  /** The kept nesting to open; absent: that of the first film that several of the jobs share. */
  readonly nesting: string | undefined;
}

export function SharedRollsScreen({ jobIds, nesting }: SharedRollsScreenProps) {
  useEffect(() => void openSharedRolls(jobIds, nesting), [jobIds, nesting]);
  const hasRolls = sharedJobIds.value.length > 1;
  return (
    <div class="production">
      <JobPatternDefinitions />
      <div class="production-main">
        <header class="production-head">
          <h1>Shared nesting</h1>
          <Verdict />
        </header>
        <Films />
        {hasRolls ? <Rolls /> : <NothingShared jobIds={jobIds} />}
      </div>
      <aside class="production-aside shared-aside" aria-label="Jobs and film of the shared nesting">
        <section
          class="production-pane inspector-fields"
          aria-label="Jobs, film and nesting"
          // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
          tabIndex={0}
        >
          {hasRolls && <SharedPlanAside chosenIds={jobIds} />}
          {jobIds.length > 0 && <SharedJobPicker chosenIds={jobIds} />}
        </section>
      </aside>
    </div>
  );
}

function Verdict() {
  const progress = sharedWork.progress.value;
  if (progress && isSlow.value) return <WorkProgress progress={progress} onCancel={sharedWork.cancel} />;
  return <RollVerdict desk={sharedDesk} isSettled={!isLaying.value} />;
}

/** Which jobs go on which film, and what keeps the others from it. */
function Films() {
  const found = films.value;
  if (!found || found.groups.length < 2) return null;
  return (
    <section class="shared-films" aria-label="Films">
      {hasFallenApart.value && (
        <p>
          <strong>The nesting that was kept for these jobs no longer holds:</strong> they print on different
          film since.
        </p>
      )}
      {found.apart.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <ul class="shared-film-list">
        {found.groups.map(({ film, jobIds, numbers, films: filmIds }) => (
          <li key={JSON.stringify(filmIds)}>
            <strong>{film}:</strong> <span>{numbers.join(', ')}</span>
            {jobIds.length > 1 && (
              <Button
                spoken={`Go to the rolls of ${numbers.join(', ')} on ${film}`}
                isPressed={sharedFilms.value === filmIds}
                onClick={() => showFilm({ jobIds, films: filmIds })}
              >
                Go to
              </Button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Rolls() {
  const plan = shared.value;
  if (!plan) {
    return isLaying.value ? null : (
      <div class="empty">
        <p>Nothing is nested yet.</p>
        <Button onClick={renest}>Nest the panels</Button>
      </div>
    );
  }
  const { unit } = plan.rules;
  if (plan.items.length === 0) {
    return <p class="hint">These jobs have nothing to print yet: draw their sides on the bench.</p>;
  }
  const owners = new Map(
    plan.jobs.flatMap(({ mark, panelIds }, index) => panelIds.map((panelId) => [panelId, { mark, index }])),
  );
  return (
    <>
      {isOvertaken.value && (
        <div class="shared-changes" role="alert">
          <p>
            Another window has changed this nesting. What you do here is not kept until you say which one
            holds.
          </p>
          <div class="shared-answers">
            <Button onClick={openKeptPlan}>Open the nesting of the other window</Button>
            <Button onClick={keepThisPlan}>Keep this nesting instead</Button>
          </div>
        </div>
      )}
      {changes.value.length > 0 && (
        <div class="shared-changes" role="status">
          {changes.value.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          <Button onClick={renest}>Re-nest around the locked panels</Button>
        </div>
      )}
      <RollBoard
        key={JSON.stringify(sharedFilms.value)}
        desk={sharedDesk}
        laid={plan}
        unit={unit}
        ownerOf={(panelId) => owners.get(panelId)}
      />
      <PanelPlaceForm desk={sharedDesk} laid={plan} unit={unit} />
      <RollFindings
        desk={sharedDesk}
        findings={sharedDesk.findings(!isLaying.value)}
        label="Findings of the shared nesting"
      />
    </>
  );
}

function NothingShared({ jobIds }: { readonly jobIds: readonly string[] }) {
  const found = films.value;
  if (jobIds.length > 0 && !found) return null;
  const [only] = found?.groups ?? [];
  return (
    <div class="empty">
      <h2>Several jobs, one film</h2>
      <p>
        Short panels of one job fill the film beside another’s, so that less of it is thrown away and fewer
        rolls are changed. Jobs can share rolls that print on the same film, of one width, on the same
        printer.
      </p>
      {found && only && jobIds.length === 1 && (
        <p>
          {only.numbers[0]} prints on {listText(found.groups.map(({ film }) => film))}. Add a job beside here
          that does so too.
        </p>
      )}
      {found && jobIds.length > 1 && <p>No two of the selected jobs do.</p>}
      <p>
        <a href="#/jobs">Tick two jobs or more in the list of jobs</a>, then nest them on shared rolls.
      </p>
    </div>
  );
}
