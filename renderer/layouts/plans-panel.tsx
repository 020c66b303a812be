/** Over the bench: the layouts of the current side, compared, explained, used. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { jobFilm, sideFilmId } from '../../core/job/job-films.ts';
import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { sideCalled, sideSaid } from '../../core/job/vehicles.ts';
import { lengthText, typedLengthText } from '../../core/measure/length-text.ts';
import type { PlanAnswer } from '../../core/seams/plan-answer.ts';
import { NOT_KNOWN_WITHOUT_ARTWORK, relaxationText } from '../../core/seams/plan-words.ts';
import { sideInHand } from '../bench/bench-state.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field } from '../parts/field.tsx';
import { useSideArtwork } from '../parts/side-artwork.ts';
import { useTyped } from '../parts/typed-text.ts';
import { WorkProgress } from '../parts/work-progress.tsx';
import { job } from '../state/open-job.ts';
import type { CardPath } from './card-fields.ts';
import { CheaperFilm } from './cheaper-film.tsx';
import { CostCardForm } from './cost-card-form.tsx';
import { LetteringList } from './lettering-list.tsx';
import { PlanReasons } from './plan-reasons.tsx';
import {
  arePlansOpen,
  areRollsOther,
  chosenOffer,
  closePlans,
  isProposalStale,
  letteringOffered,
  openPlans,
  type Proposal,
  planLayouts,
  planning,
  proposal,
  proposePlans,
  shopRolls,
  tickRoll,
  typedRollWidthsMm,
} from './plan-state.ts';
import { PlanTable } from './plan-table.tsx';
import type { PlanUnits } from './plan-words.ts';
import { widthsFromText } from './roll-widths.ts';
import { SavedLayoutList } from './saved-layout-list.tsx';

/** For the toolbar of the bench. */
export function PlansButton() {
  const side = sideInHand.value;
  return (
    <Button
      isPressed={arePlansOpen.value}
      isDisabled={!side && !arePlansOpen.value}
      title={
        side
          ? `Where the seams of ${job.value ? sideCalled(job.value, side).code : side.code} could go, and why (P)`
          : 'Go to one side first'
      }
      onClick={() => (arePlansOpen.value ? closePlans() : openPlans())}
    >
      Suggest panel layouts
    </Button>
  );
}

export function PlansPanel({ job }: { readonly job: Job }) {
  const side = sideInHand.value;
  if (!arePlansOpen.value) return null;
  return (
    <section class="plans" aria-labelledby="plans-title">
      {side ? (
        <SidePlans key={side.id} job={job} side={side} />
      ) : (
        <div class="empty">
          <h2 id="plans-title">Panel layouts</h2>
          <p>Layouts are suggested for one side: select one above.</p>
          <Button onClick={closePlans}>Back to the bench</Button>
        </div>
      )}
    </section>
  );
}

type Pane = 'inputs' | 'lettering' | 'patterns';

function SidePlans({ job, side }: { readonly job: Job; readonly side: Side }) {
  const [pane, setPane] = useState<Pane>('inputs');
  const [wanted, setWanted] = useState<readonly CardPath[]>([]);
  const artwork = useSideArtwork(job, side);
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  const units: PlanUnits = {
    unit: job.displayUnit,
    currency: jobProductionSettings(job).figures.currency,
    printer: jobFilm(job, sideFilmId(side)).printer,
  };
  const made = proposal.value;
  const answer = made?.answer;
  const chosen = chosenOffer.value;
  return (
    <>
      <header class="plans-head">
        <h2 id="plans-title" ref={title} tabIndex={-1}>
          Panel layouts for{' '}
          {job.vehicles.length === 1 ? `${sideCalled(job, side).code}, ${side.name}` : sideSaid(job, side)}
        </h2>
        <span class="toolbar-gap" />
        <Button onClick={closePlans}>Back to the bench</Button>
      </header>
      <PlanAsk job={job} side={side} />
      <div class="plans-main">
        {!answer && !planning.progress.value && <p class="hint">No layout was asked for yet.</p>}
        {answer && <Outcome answer={answer} side={side} name={sideSaid(job, side)} units={units} />}
        {answer && !answer.isArtworkRead && <p class="hint">{NOT_KNOWN_WITHOUT_ARTWORK}</p>}
        {answer && chosen && (
          <>
            <PlanTable
              job={job}
              side={side}
              equalVertical={answer.equalVertical}
              artwork={artwork}
              units={units}
              onInputs={(inputs) => {
                setPane('inputs');
                setWanted([...inputs]);
              }}
            />
            <CheaperFilm job={job} sideId={side.id} offer={chosen} currency={units.currency} />
            <PlanReasons
              job={job}
              side={side}
              plan={chosen}
              answer={answer}
              artwork={artwork}
              units={units}
            />
          </>
        )}
      </div>
      <aside class="plans-aside" aria-label="What the layouts rest on">
        <div class="tabs" role="tablist" aria-label="What the layouts rest on">
          <PaneTab pane="inputs" open={pane} onOpen={setPane}>
            Cost card
          </PaneTab>
          <PaneTab pane="lettering" open={pane} onOpen={setPane}>
            Lettering {letteringOffered.value.length}
          </PaneTab>
          <PaneTab pane="patterns" open={pane} onOpen={setPane}>
            Saved layouts
          </PaneTab>
        </div>
        <div
          class="plans-pane"
          role="tabpanel"
          id="plans-pane"
          aria-labelledby={`plans-tab-${pane}`}
          // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
          tabIndex={0}
        >
          {pane === 'inputs' && <CostCardForm job={job} currency={units.currency} wanted={wanted} />}
          {pane === 'lettering' && <LetteringList side={side} unit={units.unit} />}
          {pane === 'patterns' && <SavedLayoutList job={job} side={side} />}
        </div>
      </aside>
    </>
  );
}

interface PaneTabProps {
  readonly pane: Pane;
  readonly open: Pane;
  readonly children: ComponentChildren;
  onOpen(pane: Pane): void;
}

function PaneTab({ pane, open, children, onOpen }: PaneTabProps) {
  return (
    <button
      type="button"
      role="tab"
      class="tab"
      id={`plans-tab-${pane}`}
      aria-selected={pane === open}
      aria-controls="plans-pane"
      onClick={() => onOpen(pane)}
    >
      {children}
    </button>
  );
}

/** Inputs of the request, and its button. */
function PlanAsk({ job, side }: { readonly job: Job; readonly side: Side }) {
  const progress = planning.progress.value;
  const made = proposal.value;
  const stale = made && staleText(made, job);
  return (
    <div class="plans-ask">
      <Choice
        label="Panels may run"
        value={planLayouts.value}
        options={[
          { value: 'sections', label: 'Both ways, by section' },
          { value: 'one-way', label: 'One way only' },
        ]}
        onChange={(layouts) => {
          planLayouts.value = layouts;
        }}
      />
      <Rolls job={job} side={side} />
      {progress ? (
        <WorkProgress progress={progress} onCancel={planning.cancel} />
      ) : (
        <div class="plans-go">
          <Button isPrimary={stale !== undefined || !made} onClick={proposePlans}>
            {made ? 'Suggest again' : 'Suggest panel layouts'}
          </Button>
          <p role="status">{stale}</p>
        </div>
      )}
    </div>
  );
}

function staleText(made: Proposal, job: Job): string | undefined {
  if (isProposalStale(made, job)) return '▲ Something has changed since these layouts were suggested.';
  return areRollsOther(made, job) ? '▲ These layouts were suggested for other rolls.' : undefined;
}

/** The job's roll, the others that the shop has for its printer, and more as text with semicolons between them. */
function Rolls({ job, side }: { readonly job: Job; readonly side: Side }) {
  const unit = job.displayUnit;
  const shown = typedRollWidthsMm.value.map((width) => typedLengthText(width, unit)).join('; ');
  const { problem, handlers } = useTyped(shown, (text) => {
    const read = widthsFromText(text, unit);
    if (!read.ok) return read.problem.message;
    typedRollWidthsMm.value = read.value;
    return undefined;
  });
  return (
    <fieldset class="plans-rolls">
      <legend>Rolls to compare</legend>
      <label class="check">
        <input type="checkbox" checked disabled />
        {lengthText(job.printer.rollWidthMm, unit)}, of this job
      </label>
      {shopRolls(job, side.id).map(({ widthMm, isUsed }) => (
        <label key={widthMm} class="check">
          <input
            type="checkbox"
            checked={isUsed}
            onChange={(event) => tickRoll(widthMm, event.currentTarget.checked)}
          />
          {lengthText(widthMm, unit)}
        </label>
      ))}
      <Field label="Other roll widths" problem={problem}>
        {(ids) => (
          <input
            class="input"
            placeholder={unit === 'in' ? '48 in; 30 in' : '1220 mm; 760 mm'}
            {...handlers}
            {...ids}
          />
        )}
      </Field>
    </fieldset>
  );
}

interface OutcomeProps {
  readonly answer: PlanAnswer;
  readonly side: Side;
  readonly name: string;
  readonly units: PlanUnits;
}

/** Why there are no plans, where there are none. */
function Outcome({ answer: { outcome }, side, name, units }: OutcomeProps) {
  if (outcome.kind === 'plans') return null;
  if (outcome.kind === 'problem') {
    return (
      <div class="finding stop" role="alert">
        <div>
          <strong>No layout can be suggested</strong>
          <p>{outcome.message}</p>
          <p class="quiet">{outcome.remedy}</p>
        </div>
      </div>
    );
  }
  return (
    <div class="finding stop" role="alert">
      <div>
        <strong>No layout of {name} keeps every limit</strong>
        {outcome.relaxations.length === 0 ? (
          <p>No single limit would be enough: several must give way together.</p>
        ) : (
          <>
            <p>Any one of these would do:</p>
            <ul>
              {outcome.relaxations.map((relaxation) => {
                const text = relaxationText(relaxation, side, units.unit);
                return <li key={text}>{text}</li>;
              })}
            </ul>
          </>
        )}
      </div>
    </div>
  );
}
