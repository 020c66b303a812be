/** What happens between prepress and installation: rolls, materials, drying, estimates. */
import { useSignalEffect } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { jobFindings } from '../../core/checks/findings/job-findings.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { hasSeveralFilms } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import type { JobProduction } from '../../core/production/job-production.ts';
import { productionFindings } from '../../core/production/production-findings.ts';
import { itemPanelId } from '../../core/shop/rolls.ts';
import { filmOptions } from '../bench/panel-film-select.tsx';
import { FindingList } from '../parts/finding-list.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { useSideArtworks } from '../parts/side-artwork.ts';
import { WorkProgress } from '../parts/work-progress.tsx';
import { DryingPane } from '../production/drying-pane.tsx';
import { EstimatesPane } from '../production/estimates-pane.tsx';
import { MaterialsPane } from '../production/materials-pane.tsx';
import type { ArtworkOfPanel } from '../production/panel-artwork.tsx';
import { PanelPlaceForm } from '../production/panel-place-form.tsx';
import {
  filmInHand,
  filmInHandId,
  jobInHand,
  jobRollDesk,
  productionInHand,
  settingsNow,
} from '../production/production-state.ts';
import { QuoteSection } from '../production/quote-section.tsx';
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
  const made = productionInHand.value;
  const laid = jobRollDesk.laid.value;
  const unit = job.displayUnit;
  const artworks = useSideArtworks(job, job.sides);
  const shown = new Map<string, ArtworkOfPanel>(
    layouts.value.flatMap(({ side, panels }) => {
      const artwork = artworks.get(side.id);
      return artwork ? panels.map((panel) => [panel.id, { panel, artwork }] as const) : [];
    }),
  );
  return (
    <div class="production">
      <div class="production-main">
        <header class="production-head">
          <h1>Production</h1>
          <Verdict />
        </header>
        {hasSeveralFilms(job) && (
          <SelectField
            label="Film"
            value={filmInHandId(job)}
            options={filmOptions(job)}
            onChange={(filmId) => {
              filmInHand.value = filmId;
            }}
          />
        )}
        {made === undefined && production.value && (
          <p class="hint">
            No panel is printed on this film. Select a side or a panel on the bench, and its film under
            Selection.
          </p>
        )}
        {made && made.items.length === 0 && (
          <p class="hint">
            There is nothing to print yet: draw a side on the bench, and its panels come here.
          </p>
        )}
        {made && laid && made.items.length > 0 && (
          <>
            <RollBoard
              desk={jobRollDesk}
              laid={laid}
              unit={unit}
              artworkOf={(id) => shown.get(itemPanelId(id))}
              fill={settingsNow.value?.fill}
            />
            <PanelPlaceForm desk={jobRollDesk} laid={laid} unit={unit} />
          </>
        )}
        {production.value && laid && !job.production && <ProposedRolls job={job} made={production.value} />}
        <JobFindings job={job} />
      </div>
      <Aside job={job} />
    </div>
  );
}

/** Before production is opened the rolls are only a proposal, and problems with it are not the job's. */
function ProposedRolls({ job, made }: { readonly job: Job; readonly made: JobProduction }) {
  const ofRolls = productionFindings({ job, layouts: layouts.value, production: asRollsLie(made) }).filter(
    ({ code }) => code.startsWith('roll-'),
  );
  if (ofRolls.length === 0) return null;
  return <RollFindings desk={jobRollDesk} findings={ofRolls} label="Findings of the nesting" />;
}

/** Includes findings on the current film's rolls as they are on the screen. */
function asRollsLie(made: JobProduction): JobProduction {
  const inHand = productionInHand.value?.filmId;
  const seen = <T extends FilmProduction>(each: T): T =>
    each.filmId === inHand
      ? { ...each, plan: { ...each.plan, findings: jobRollDesk.findings(isUpToDate.value) } }
      : each;
  return { ...seen(made), ...(made.otherFilms && { otherFilms: made.otherFilms.map(seen) }) };
}

/** The same findings list as on other screens, with rolls in their present state, even during a drag. */
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
          production: asRollsLie(made),
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
  const [made, settings] = [productionInHand.value, settingsNow.value];
  const onFilm = jobInHand.value;
  if (!settings || !onFilm) return null;
  switch (pane) {
    case 'rolls':
      return <RollsPane job={onFilm} made={made} settings={settings} />;
    case 'materials':
      return <MaterialsPane job={onFilm} settings={settings} />;
    case 'drying':
      return <DryingPane job={job} made={made} settings={settings} />;
    case 'estimates':
      return (
        <>
          <EstimatesPane
            made={made}
            together={production.value?.together}
            settings={settings}
            unit={job.displayUnit}
          />
          <QuoteSection
            job={job}
            estimates={production.value?.together ?? production.value?.estimates}
            figures={settings.figures}
          />
        </>
      );
  }
}
