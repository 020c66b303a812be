import type { Job } from '../../core/job/schema.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { firstOf } from '../../core/measure/present.ts';
import { COVERAGE_NOTE, type CoverageInUse } from '../../core/production/job-coverage.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import { Button } from '../parts/button.tsx';
import { OptionalNumberField } from '../parts/optional-number-field.tsx';
import { Facts } from '../parts/section.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { isGivenUp, measureJobCoverage, measuring } from '../state/coverage.ts';
import { setProduction } from './production-state.ts';

interface CoverageFieldsProps {
  readonly job: Job;
  readonly coverage: CoverageInUse | undefined;
  readonly settings: ProductionSettings;
}

const percent = (value: number): string => `${decimalText(value, 0)} %`;

/** How much ink the artwork needs: as computed, and as entered by hand. */
export function CoverageFields({ job, coverage, settings }: CoverageFieldsProps) {
  return (
    <>
      <Computed job={job} coverage={coverage} />
      <OptionalNumberField
        label="Heaviest coverage, if you know better, %"
        value={settings.worstCoveragePercent}
        empty={coverage?.worst?.source === 'file' ? 'as computed' : 'not known'}
        hint="For the drying clock. Not known: the longest drying is counted."
        onChange={(worstCoveragePercent) =>
          setProduction('Set the heaviest coverage', { worstCoveragePercent })
        }
      />
      <OptionalNumberField
        label="Mean coverage, if you know better, %"
        value={settings.meanCoveragePercent}
        empty={coverage?.mean?.source === 'file' ? 'as computed' : 'not known'}
        hint="For the ink estimate. Not known: no ink is counted."
        onChange={(meanCoveragePercent) => setProduction('Set the mean coverage', { meanCoveragePercent })}
      />
    </>
  );
}

function Computed({ job, coverage }: Pick<CoverageFieldsProps, 'job' | 'coverage'>) {
  const progress = measuring.progress.value;
  if (progress) return <WorkProgress progress={progress} onCancel={measuring.cancel} />;
  const panels = coverage?.panels ?? [];
  return (
    <>
      {panels.length > 0 && (
        <details class="estimate">
          <summary>
            <span>Computed from the artwork</span>
            <strong>
              {coverage?.worst?.source === 'file'
                ? `worst ≈ ${percent(coverage.worst.percent)}`
                : `${panels.length} panels`}
            </strong>
          </summary>
          <p class="quiet">
            Mean, and worst over {decimalText(firstOf(panels).windowMm2, 0)} mm². {COVERAGE_NOTE}
          </p>
          <Facts
            rows={panels.map(
              ({ label, meanPercent, worstPercent }) =>
                [label, `${percent(meanPercent)}, worst ${percent(worstPercent)}`] as const,
            )}
          />
        </details>
      )}
      {coverage?.unmeasured.map(({ sideCode, reason }) => (
        <p key={sideCode} class="quiet">
          {sideCode} could not be computed: {reason}.
        </p>
      ))}
      {isGivenUp(job) && (
        <Button onClick={() => measureJobCoverage(job)}>Compute the ink of the artwork</Button>
      )}
    </>
  );
}
