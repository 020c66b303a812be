/** A corrected artwork beside the one that it replaces: what changed, side by side and panel by panel. */
import { useState } from 'preact/hooks';
import { artworkCorrected } from '../../core/job/edits/edits.ts';
import { filesBySide } from '../../core/job/files-by-side.ts';
import type { ArtworkReference, Job } from '../../core/job/schema.ts';
import type { ArtworkComparison, ComparedPanel, ComparedSide } from '../../core/output/artwork-comparison.ts';
import { comparisonSummary, placeText, verdictText } from '../../core/output/comparison-text.ts';
import { chooseArtwork } from '../bench/artwork-import.ts';
import { Button } from '../parts/button.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import {
  compareArtworks,
  compareWork,
  comparisonKey,
  comparisons,
  declineArtwork,
  lookedAt,
  waitingComparisons,
} from '../state/compare.ts';
import { showProblem } from '../state/notices.ts';
import { editJob, isReadOnly } from '../state/open-job.ts';
import { showScreen } from '../state/route.ts';
import { ComparedPictures } from './compared-pictures.tsx';

export function CompareScreen({ job }: { readonly job: Job }) {
  const all = comparisons.value;
  const shown = all.find((each) => comparisonKey(each) === lookedAt.value) ?? all.at(-1);
  const progress = compareWork.progressOf(job.id);
  return (
    <div class="compare">
      <section class="compare-head" aria-label="Artworks to compare">
        <h1>Compare artworks</h1>
        {all.length > 1 && shown && (
          <SelectField
            label="Comparison"
            value={comparisonKey(shown)}
            options={all.map((each) => ({ value: comparisonKey(each), label: namesOf(each) }))}
            onChange={(key) => {
              lookedAt.value = key;
            }}
          />
        )}
        <Button isDisabled={!job.artwork || progress !== undefined} onClick={() => compareWithFile(job)}>
          Compare with a corrected artwork
        </Button>
      </section>
      {progress && <WorkProgress progress={progress} onCancel={compareWork.cancel} />}
      {shown ? (
        <Shown key={comparisonKey(shown)} job={job} comparison={shown} />
      ) : (
        !progress && (
          <p class="empty">
            Nothing was compared yet. A corrected artwork is compared with the present one when it is imported
            over it; here it can be compared first, and nothing is replaced.
          </p>
        )
      )}
    </div>
  );
}

const namesOf = ({ before, after }: ArtworkComparison): string =>
  `${after.fileName} (${after.sha256.slice(0, 8)}) against ${before.fileName} (${before.sha256.slice(0, 8)})`;

/** Adds a PDF to the archive and compares it; the job keeps its artwork. */
async function compareWithFile(job: Job): Promise<void> {
  const taken = await chooseArtwork();
  if (!taken || !job.artwork) return;
  const [file, ...others] = filesBySide(taken, job.sides).map(({ token }) => token);
  if (file === undefined) return;
  const facts = await compareWork.run(
    'artwork:import',
    { file, box: job.artwork.box, ...(others.length > 0 && { others }) },
    'Reading the corrected artwork',
    job.id,
  );
  if (!facts.ok) return showProblem(facts.problem);
  await compareArtworks({ job, after: facts.value.reference });
}

function Shown({ job, comparison }: { readonly job: Job; readonly comparison: ArtworkComparison }) {
  const { sides, remarks, before, after } = comparison;
  const [sideId, setSideId] = useState(
    () =>
      (sides.find(({ panels }) => panels.some(({ verdict }) => verdict === 'changed')) ?? sides[0])?.sideId,
  );
  const [panelId, setPanelId] = useState<string>();
  const side = sides.find((each) => each.sideId === sideId) ?? sides[0];
  const stored = job.sides.find(({ id }) => id === side?.sideId);
  return (
    <>
      <section class="compare-told" aria-label="What has changed">
        <p role="status">
          <strong>{comparisonSummary(comparison)}</strong> <span class="quiet">{namesOf(comparison)}.</span>
        </p>
        {remarks.map((remark) => (
          <p key={remark}>{remark}</p>
        ))}
        <Decision job={job} comparison={comparison} />
      </section>
      <div class="compare-sides" role="toolbar" aria-label="Sides">
        {sides.map((each) => (
          <Button key={each.sideId} isPressed={each === side} onClick={() => setSideId(each.sideId)}>
            {each.name} ({changedCount(each)})
          </Button>
        ))}
      </div>
      {side && (
        <div class="compare-side">
          {stored ? (
            <ComparedPictures
              key={side.sideId}
              job={job}
              side={stored}
              compared={side}
              references={[before, after]}
              panelId={panelId}
            />
          ) : (
            <p class="empty">The job does not have this side any more.</p>
          )}
          <PanelList job={job} side={side} panelId={panelId} onSelect={setPanelId} />
        </div>
      )}
    </>
  );
}

const changedCount = ({ panels }: ComparedSide): string => {
  const changed = panels.filter(({ verdict }) => verdict === 'changed').length;
  return changed === 0 ? 'unchanged' : `${changed} changed`;
};

/** A waiting corrected artwork is used or declined; if used, its sides may be on other pages. */
function Decision({ job, comparison }: { readonly job: Job; readonly comparison: ArtworkComparison }) {
  const { after, moves, sides } = comparison;
  if (isReadOnly.value) return null;
  const use = (reference: ArtworkReference): void => {
    const corrected = { reference, moves };
    const problem = editJob('Use the corrected artwork', (current) => artworkCorrected(current, corrected));
    if (problem) showProblem(problem);
  };
  if (waitingComparisons.value.includes(comparison)) {
    return (
      <div class="compare-answers">
        <Button isPrimary onClick={() => use(after)}>
          Use the corrected artwork
        </Button>
        <Button onClick={() => declineArtwork(job.id, comparison)}>Keep the present artwork</Button>
      </div>
    );
  }
  if (after.sha256 !== job.artwork?.sha256) return null;
  const isElsewhere = moves.some(({ sideId, page }) =>
    job.sides.some((side) => side.id === sideId && side.page !== page),
  );
  const hasChanges = sides.some(({ panels }) => panels.some(({ verdict }) => verdict === 'changed'));
  return (
    <div class="compare-answers">
      {isElsewhere && <Button onClick={() => use(after)}>Move the sides to their pages</Button>}
      {hasChanges && (
        <Button onClick={() => showScreen({ screen: 'output', jobId: job.id })}>Go to the output</Button>
      )}
    </div>
  );
}

interface PanelListProps {
  readonly job: Job;
  readonly side: ComparedSide;
  readonly panelId: string | undefined;
  onSelect(panelId: string | undefined): void;
}

function PanelList({ job, side, panelId, onSelect }: PanelListProps) {
  return (
    <section class="compare-panels" aria-label={`Panels of ${side.name}`}>
      <ul>
        {side.panels.map((panel) => (
          <li key={panel.panelId} class={`is-${panel.verdict}`}>
            <Button
              isPressed={panel.panelId === panelId}
              onClick={() => onSelect(panel.panelId === panelId ? undefined : panel.panelId)}
            >
              {panel.label}
            </Button>
            <div>
              <p>{verdictText(panel)}</p>
              {panel.reasons.map((reason) => (
                <p key={reason} class="quiet">
                  {reason}
                </p>
              ))}
              {panel.panelId === panelId && <Places job={job} panel={panel} />}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

const Places = ({ job, panel }: { readonly job: Job; readonly panel: ComparedPanel }) => (
  <>
    {panel.places.map((place) => (
      <p key={JSON.stringify(place)} class="quiet">
        {placeText(place, job.displayUnit)}
      </p>
    ))}
  </>
);
