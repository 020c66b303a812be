/** What happens between prepress and installation: rolls, materials, drying, estimates. */
import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import type { Finding } from '../../core/layout/finding.ts';
import { findingsSorted } from '../../core/layout/findings.ts';
import { FindingList } from '../parts/finding-list.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { coverageMeasureSoon, coverageOf } from '../production/coverage-state.ts';
import { DryingPane } from '../production/drying-pane.tsx';
import { EstimatesPane } from '../production/estimates-pane.tsx';
import { MaterialsPane } from '../production/materials-pane.tsx';
import { PanelPlaceForm } from '../production/panel-place-form.tsx';
import { filmText, planVerdict } from '../production/plan-verdict.ts';
import {
  chosenPanelId,
  deriving,
  dragged,
  isUpToDate,
  liveCheck,
  production,
  productionDeriveSoon,
  settingsNow,
} from '../production/production-state.ts';
import { RollBoard } from '../production/roll-board.tsx';
import { RollsPane } from '../production/rolls-pane.tsx';
import { isReadOnly } from '../state/open-job.ts';

type Pane = 'rolls' | 'materials' | 'drying' | 'estimates';

const PANES: Readonly<Record<Pane, string>> = {
  rolls: 'Rolls',
  materials: 'Materials',
  drying: 'Drying',
  estimates: 'Estimates',
};

export function ProductionScreen({ job }: { readonly job: Job }) {
  const measured = coverageOf(job);
  useEffect(() => coverageMeasureSoon(job), [job]);
  useEffect(() => productionDeriveSoon(job, measured), [job, measured]);
  const made = production.value;
  const unit = job.displayUnit;
  return (
    <div class="production">
      <div class="production-main">
        <header class="production-head">
          <h1>Production</h1>
          <Verdict unit={unit} />
        </header>
        {made && made.items.length === 0 && (
          <p class="hint">
            There is nothing to print yet: draw a side on the bench, and its panels come here.
          </p>
        )}
        {made && made.items.length > 0 && (
          <>
            <RollBoard made={made} unit={unit} />
            <PanelPlaceForm made={made} unit={unit} />
          </>
        )}
        <Findings />
      </div>
      <Aside job={job} />
    </div>
  );
}

/** While a panel is in hand, what its move does; else how good the plan is. */
function Verdict({ unit }: { readonly unit: 'mm' | 'in' }) {
  const [made, check, progress] = [production.value, liveCheck.value, deriving.progress.value];
  if (!made || !check) {
    return progress ? <WorkProgress progress={progress} onCancel={deriving.cancel} /> : null;
  }
  if (dragged.value) {
    const used = filmText({ lengthMm: check.filmUsedMm, areaMm2: check.filmAreaMm2 }, made.rolls, unit);
    return <p class="verdict">In hand: {used} of film as it lies now.</p>;
  }
  return (
    <p class="verdict" role="status">
      {isUpToDate.value ? planVerdict(made.plan, made.rolls, unit) : 'Laying panels anew…'}
    </p>
  );
}

/** What only planning can find: why a panel was laid nowhere. */
const PLANNING_CODES: ReadonlySet<string> = new Set([
  'roll-none',
  'roll-panel-too-wide',
  'roll-panel-over-longest-print',
  'roll-panel-too-long',
  'roll-nothing-left',
  'roll-side-two-directions',
]);

/** Of rolls: looked at live. Of materials and drying: as last worked out. */
function Findings() {
  const [made, check] = [production.value, liveCheck.value];
  if (!made || !check) return null;
  const isOfRolls = ({ code }: Finding) => code.startsWith('roll-');
  const unlaid = made.findings.filter(
    ({ code, where }) =>
      PLANNING_CODES.has(code) && (!where.panelId || made.plan.unplacedPanelIds.includes(where.panelId)),
  );
  const live = check.findings.filter(({ code }) => code !== 'roll-panel-without-place');
  const found = findingsSorted([
    ...live,
    ...unlaid,
    ...made.findings.filter((finding) => !isOfRolls(finding)),
  ]);
  return (
    <section class="production-findings" aria-label="Findings of production">
      <h2>
        {found.length === 0
          ? 'Nothing to report'
          : found.length === 1
            ? '1 finding'
            : `${found.length} findings`}
      </h2>
      {found.length > 0 && <FindingList findings={found} onGo={panelFocus} />}
    </section>
  );
}

function panelFocus({ where }: Finding): void {
  if (where.panelId === undefined) return;
  chosenPanelId.value = where.panelId;
  document.querySelector<SVGElement>(`[data-panel="${CSS.escape(where.panelId)}"]`)?.focus();
}

function Aside({ job }: { readonly job: Job }) {
  const [open, setOpen] = useState<Pane>('rolls');
  return (
    <aside class="production-aside" aria-label="What production rests on">
      <div class="tabs" role="tablist" aria-label="What production rests on">
        {(Object.keys(PANES) as Pane[]).map((pane) => (
          <button
            key={pane}
            type="button"
            role="tab"
            class="tab"
            id={`production-${pane}`}
            aria-selected={pane === open}
            aria-controls="production-pane"
            onClick={() => setOpen(pane)}
          >
            {PANES[pane]}
          </button>
        ))}
      </div>
      <div
        class="production-pane"
        role="tabpanel"
        id="production-pane"
        aria-labelledby={`production-${open}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
        tabIndex={0}
      >
        <fieldset class="inspector-fields" disabled={isReadOnly.value}>
          <legend class="screen-reader-only">{PANES[open]}</legend>
          <OpenPane job={job} pane={open} />
        </fieldset>
      </div>
    </aside>
  );
}

function OpenPane({ job, pane }: { readonly job: Job; readonly pane: Pane }): ComponentChildren {
  const [made, settings] = [production.value, settingsNow.value];
  if (!settings) return null;
  switch (pane) {
    case 'rolls':
      return <RollsPane job={job} made={made} settings={settings} />;
    case 'materials':
      return <MaterialsPane job={job} made={made} settings={settings} />;
    case 'drying':
      return <DryingPane job={job} made={made} settings={settings} />;
    case 'estimates':
      return <EstimatesPane made={made} settings={settings} unit={job.displayUnit} />;
  }
}
