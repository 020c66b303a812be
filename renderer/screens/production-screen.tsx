/** What happens between prepress and installation: rolls, materials, drying, estimates. */
import { useSignalEffect } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { jobFindings } from '../../core/checks/findings/job-findings.ts';
import type { Finding } from '../../core/findings/finding.ts';
import type { Job } from '../../core/job/schema.ts';
import type { JobProduction } from '../../core/production/job-production.ts';
import { productionFindings } from '../../core/production/production-findings.ts';
import { FindingList } from '../parts/finding-list.tsx';
import { useSideArtworks } from '../parts/side-artwork.ts';
import { WorkProgress } from '../parts/work-progress.tsx';
import { DryingPane } from '../production/drying-pane.tsx';
import { EstimatesPane } from '../production/estimates-pane.tsx';
import { MaterialsPane } from '../production/materials-pane.tsx';
import type { ArtworkOfPanel } from '../production/panel-artwork.tsx';
import { PanelPlaceForm } from '../production/panel-place-form.tsx';
import { jobRollDesk, settingsNow } from '../production/production-state.ts';
import { RollBoard } from '../production/roll-board.tsx';
import { focusPanel, RollFindings } from '../production/roll-findings.tsx';
import { RollVerdict } from '../production/roll-verdict.tsx';
import { RollsPane } from '../production/rolls-pane.tsx';
import { coverageOf, measureCoverageSoon } from '../state/coverage.ts';
import { takeSoughtFinding } from '../state/finding-way.ts';
import { artworkKnown, findings } from '../state/job-findings.ts';
import { outputsCut } from '../state/last-output.ts';
import { isReadOnly, layouts } from '../state/open-job.ts';
import { deriveProductionSoon, deriving, isUpToDate, production } from '../state/production.ts';

type Pane = 'rolls' | 'materials' | 'drying' | 'estimates';

const PANES: Readonly<Record<Pane, string>> = {
  rolls: 'Rolls',
  materials: 'Materials',
  drying: 'Drying',
  estimates: 'Estimates',
};

const paneOf = ({ code }: Finding): Pane =>
  code.startsWith('pair-') ? 'materials' : /^(?:dry|coverage)-/.test(code) ? 'drying' : 'rolls';

export function ProductionScreen({ job }: { readonly job: Job }) {
  const measured = coverageOf(job);
  useEffect(() => measureCoverageSoon(job), [job]);
  useEffect(() => deriveProductionSoon(job, measured), [job, measured]);
  const made = production.value;
  const laid = jobRollDesk.laid.value;
  const unit = job.displayUnit;
  const artworks = useSideArtworks(job, job.sides);
  const shown = new Map<string, ArtworkOfPanel>(
    layouts.value.flatMap(({ side, panels }) => {
      const artwork = artworks.get(side.id);
      return artwork ? panels.map((panel) => [`${job.id}/${panel.id}`, { panel, artwork }] as const) : [];
    }),
  );
  return (
    <div class="production">
      <div class="production-main">
        <header class="production-head">
          <h1>Production</h1>
          <Verdict />
        </header>
        {made && made.items.length === 0 && (
          <p class="hint">
            There is nothing to print yet: draw a side on the bench, and its panels come here.
          </p>
        )}
        {made && laid && made.items.length > 0 && (
          <>
            <RollBoard desk={jobRollDesk} laid={laid} unit={unit} artworkOf={(id) => shown.get(id)} />
            <PanelPlaceForm desk={jobRollDesk} laid={laid} unit={unit} />
          </>
        )}
        {made && laid && !job.production && <ProposedRolls job={job} made={made} />}
        <JobFindings job={job} />
      </div>
      <Aside job={job} />
    </div>
  );
}

/** Before anybody looked at production the rolls are a proposal, and what is wrong with it is not the job's. */
function ProposedRolls({ job, made }: { readonly job: Job; readonly made: JobProduction }) {
  const plan = { ...made.plan, findings: jobRollDesk.findings(isUpToDate.value) };
  const ofRolls = productionFindings({ job, layouts: layouts.value, production: { ...made, plan } }).filter(
    ({ code }) => code.startsWith('roll-'),
  );
  if (ofRolls.length === 0) return null;
  return <RollFindings desk={jobRollDesk} findings={ofRolls} label="Findings of the nesting" />;
}

/** The list of the job as on every other screen; rolls as they lie here, be it in the hand. */
function JobFindings({ job }: { readonly job: Job }) {
  const [made, artwork, measured] = [production.value, artworkKnown.value, coverageOf(job)];
  const listed =
    job.production && made
      ? jobFindings({
          job,
          layouts: layouts.value,
          outputs: outputsCut.value,
          ...(artwork && { artwork }),
          ...(measured && { measured }),
          production: {
            ...made,
            plan: { ...made.plan, findings: jobRollDesk.findings(isUpToDate.value) },
          },
        })
      : findings.value;
  return (
    <section class="production-findings" aria-label="Findings of the job">
      <h2>Findings</h2>
      <FindingList findings={listed} />
    </section>
  );
}

function Verdict() {
  const progress = deriving.progress.value;
  if (progress && !production.value) return <WorkProgress progress={progress} onCancel={deriving.cancel} />;
  return <RollVerdict desk={jobRollDesk} isSettled={isUpToDate.value} />;
}

function Aside({ job }: { readonly job: Job }) {
  const [open, setOpen] = useState<Pane>('rolls');
  useSignalEffect(() => {
    const sought = takeSoughtFinding('production');
    if (!sought) return;
    setOpen(paneOf(sought));
    focusPanel(jobRollDesk, sought.where);
  });
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
      return <MaterialsPane job={job} settings={settings} />;
    case 'drying':
      return <DryingPane job={job} made={made} settings={settings} />;
    case 'estimates':
      return <EstimatesPane made={made} settings={settings} unit={job.displayUnit} />;
  }
}
