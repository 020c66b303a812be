/** Limits for checking the artwork: the shop's figures, and the severity of each finding. */
import type { z } from 'zod';
import type { Job } from '../../../core/job/schema.ts';
import { viewingDistanceText } from '../../../core/measure/long-length.ts';
import {
  ArtworkLimits,
  CheckSeverity,
  DEFAULT_ARTWORK_LIMITS,
  isSameLimits,
} from '../../../core/shop/artwork-limits.ts';
import { Button } from '../../parts/button.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { NumberField } from '../../parts/number-field.tsx';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { artworkFindings } from '../../state/job-findings.ts';
import { changeShop, shopProfile } from '../../state/shop.ts';

interface ArtworkLimitFieldsProps {
  readonly job: Job;
  /** Returns a sentence where the limits cannot be used. */
  set(limits: ArtworkLimits): string | undefined;
}

export function ArtworkLimitFields({ job, set }: ArtworkLimitFieldsProps) {
  const limits = job.artworkLimits ?? DEFAULT_ARTWORK_LIMITS;
  const change = (part: Partial<ArtworkLimits>): string | undefined => {
    const next = ArtworkLimits.safeParse({ ...limits, ...part });
    return next.success ? set(next.data) : 'This is more or less than any shop needs.';
  };
  const number = (
    label: string,
    key: 'minPpi' | 'maxInkPercent' | 'distancePerCapHeight' | 'minPaintedPercent',
  ) => <NumberField label={label} value={limits[key]} onChange={(value) => change({ [key]: value })} />;
  const length = (label: string, key: 'minStrokeMm' | 'bleedSlackMm') => (
    <LengthField
      label={label}
      mm={limits[key]}
      unit={job.displayUnit}
      onChange={(mm) => change({ [key]: mm })}
    />
  );
  return (
    <Section title="Limits of the artwork">
      <p class="quiet">
        Kept with the job and its duplicates; each side has its own viewing distance. {limitsOrigin(limits)}
      </p>
      <div class="pair">
        {number('Least image resolution, ppi', 'minPpi')}
        {number('Most ink, %', 'maxInkPercent')}
        {length('Thinnest stroke', 'minStrokeMm')}
        {length('Bleed may be short by', 'bleedSlackMm')}
        {number('Distance ÷ capital height', 'distancePerCapHeight')}
        {number('Least of a side painted, %', 'minPaintedPercent')}
        {limits.guidance.map(({ fromMm, ppi }, index) => (
          <NumberField
            key={fromMm}
            label={`Image resolution seen from ${viewingDistanceText(fromMm, job.displayUnit)}, ppi`}
            value={ppi}
            onChange={(value) =>
              change({
                guidance: limits.guidance.map((step, at) => (at === index ? { ...step, ppi: value } : step)),
              })
            }
          />
        ))}
      </div>
      <Severities limits={limits} change={change} />
      <div class="buttons">
        {!isSameLimits(limits, limitsOfNewJobs()) && (
          <>
            <Button onClick={() => void changeShop({ artworkLimits: limits })}>
              Begin new jobs with these limits
            </Button>
            <Button onClick={() => void set(limitsOfNewJobs())}>
              {shopProfile.value.artworkLimits ? 'Back to the limits of new jobs' : 'Back to common practice'}
            </Button>
          </>
        )}
        {shopProfile.value.artworkLimits && (
          <Button onClick={() => void changeShop({ artworkLimits: undefined })}>
            Begin new jobs with common practice
          </Button>
        )}
      </div>
    </Section>
  );
}

const limitsOfNewJobs = (): ArtworkLimits => shopProfile.value.artworkLimits ?? DEFAULT_ARTWORK_LIMITS;

/** Whose limits these are, and what new jobs begin with. */
function limitsOrigin(limits: ArtworkLimits): string {
  const kept = shopProfile.value.artworkLimits;
  if (kept)
    return isSameLimits(limits, kept)
      ? 'These are the shop’s own: new jobs begin with them.'
      : 'The shop’s own, with which new jobs begin, are others.';
  return isSameLimits(limits, DEFAULT_ARTWORK_LIMITS)
    ? 'These are common practice, with which new jobs begin until your shop keeps its own.'
    : 'They are this job’s own; new jobs begin with common practice.';
}

const AS_USUAL = 'usual';
const SEVERITY_NAMES: Readonly<Record<z.infer<typeof CheckSeverity>, string>> = {
  stop: 'stops output',
  warn: 'waits for an answer',
  note: 'is only noted',
  off: 'is not told',
};

interface SeveritiesProps {
  readonly limits: ArtworkLimits;
  change(part: Partial<ArtworkLimits>): string | undefined;
}

/** A setting for each finding that this artwork has, or whose severity the shop has set. */
function Severities({ limits, change }: SeveritiesProps) {
  const codes = new Set([
    ...artworkFindings.value.map(({ code }) => code),
    ...Object.keys(limits.severities),
  ]);
  return (
    <>
      {[...codes].toSorted().map((code) => (
        <SelectField
          key={code}
          label={`A finding of “${code.replaceAll('-', ' ')}”`}
          value={limits.severities[code] ?? AS_USUAL}
          options={[
            { value: AS_USUAL, label: 'is judged as usual' },
            ...CheckSeverity.options.map((value) => ({ value, label: SEVERITY_NAMES[value] })),
          ]}
          onChange={(chosen) => {
            const { [code]: _, ...others } = limits.severities;
            const severity = CheckSeverity.safeParse(chosen);
            void change({ severities: severity.success ? { ...others, [code]: severity.data } : others });
          }}
        />
      ))}
    </>
  );
}
