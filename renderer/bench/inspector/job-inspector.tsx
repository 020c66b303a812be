/** Job-wide fields, so that a new job can be completed without leaving the bench. */
import { DEFAULT_SHAPE_LIMITS } from '../../../core/job/defaults.ts';
import { jobSet } from '../../../core/job/edits/edits.ts';
import { jobAllowances } from '../../../core/job/joint-default.ts';
import type { Job } from '../../../core/job/schema.ts';
import { TRIM_NAMES } from '../../../core/job/shop-differences.ts';
import { Choice } from '../../parts/choice.tsx';
import { Field, TextField } from '../../parts/field.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { NumberField } from '../../parts/number-field.tsx';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob } from '../../state/open-job.ts';
import { ArtworkLimitFields } from './artwork-limits.tsx';
import { FilmFields } from './film-fields.tsx';
import type { JobFieldsProps, SetJob } from './job-fields.ts';
import { RequiredText } from './required-text.tsx';
import { ShopSection } from './shop-section.tsx';
import { VehicleSections } from './vehicle-section.tsx';

export function JobInspector({ job }: { readonly job: Job }) {
  const set: SetJob = (label, change, gesture) =>
    editJob(label, (now) => jobSet(now, { change }), { isQuiet: true, ...(gesture && { gesture }) })?.message;
  return (
    <>
      <ShopSection job={job} />
      <Order job={job} set={set} />
      <VehicleSections job={job} />
      <FilmFields job={job} />
      <OutputSection job={job} set={set} />
      <AllowanceSection job={job} set={set} />
      <Limits job={job} set={set} />
      <ArtworkLimitFields
        job={job}
        set={(artworkLimits) => set('Change a limit of the artwork', { artworkLimits })}
      />
    </>
  );
}

function Order({ job, set }: JobFieldsProps) {
  return (
    <Section title="Order">
      <RequiredText
        label="Job number"
        value={job.number}
        set={(number) => set('Change the number', { number })}
      />
      <RequiredText label="Job" value={job.name} set={(name) => set('Name the job', { name })} />
      <RequiredText
        label="Customer"
        value={job.customer}
        set={(customer) => set('Change the customer', { customer })}
      />
      <div class="pair">
        <Field label="Date of issue">
          {(ids) => (
            <input
              class="input"
              type="date"
              value={job.date}
              onChange={(event) => void set('Change the date', { date: event.currentTarget.value })}
              {...ids}
            />
          )}
        </Field>
        <TextField
          label="Prepared by"
          value={job.preparedBy}
          onChange={(preparedBy) => void set('Say who prepared it', { preparedBy })}
        />
      </div>
      <Choice
        label="Lengths are shown in"
        value={job.displayUnit}
        options={[
          { value: 'mm', label: 'Millimeters' },
          { value: 'in', label: 'Inches' },
        ]}
        onChange={(displayUnit) => void set('Switch units', { displayUnit })}
      />
      <TextField
        label="Notes"
        value={job.notes}
        isMultiline
        onChange={(notes) => void set('Note something', { notes }, 'notes')}
        onPause={(notes) => void set('Note something', { notes }, 'notes')}
      />
    </Section>
  );
}

const ALLOWANCE_FIELDS = [
  { key: 'overlapMm', label: 'Printed overlap' },
  { key: 'finishedOverlapMm', label: 'Finished overlap' },
  { key: 'shiftOverlapMm', label: 'Printed overlap on trailers' },
  { key: 'bleedMm', label: 'Bleed' },
  { key: 'clearanceMm', label: 'Space from seams to no-film areas' },
] as const;

export function AllowanceSection({ job, set }: JobFieldsProps) {
  const allowances = jobAllowances(job);
  return (
    <Section title="New seams and sides">
      {ALLOWANCE_FIELDS.map(({ key, label }) => (
        <LengthField
          key={key}
          label={label}
          mm={allowances[key]}
          unit={job.displayUnit}
          onChange={(mm) => {
            const changed = { ...allowances, [key]: mm };
            return changed.finishedOverlapMm > changed.overlapMm
              ? 'The finished overlap is a part of the printed one, so it cannot be larger.'
              : set('Change what new seams and sides begin with', { allowances: changed });
          }}
        />
      ))}
    </Section>
  );
}

export function OutputSection({ job, set }: JobFieldsProps) {
  const { output } = job;
  return (
    <Section title="Panels">
      <LengthField
        label="Unprinted border around each panel"
        mm={output.borderMm}
        unit={job.displayUnit}
        onChange={(borderMm) => set('Set the border', { output: { ...output, borderMm } })}
      />
      <label class="check">
        <input
          type="checkbox"
          checked={output.marks}
          onChange={(event) =>
            void set('Select marks', { output: { ...output, marks: event.currentTarget.checked } })
          }
        />
        Marks and labels on the border
      </label>
      <Choice
        label="Panels are numbered"
        value={output.numbering}
        options={[
          { value: 'install-order', label: 'By install order' },
          { value: 'reading-order', label: 'Row by row' },
        ]}
        onChange={(numbering) => void set('Select the numbering', { output: { ...output, numbering } })}
      />
    </Section>
  );
}

const SEAM_TRIMS = (['tape', 'gap', 'edge'] as const).map((value) => ({
  value,
  label: TRIM_NAMES[value],
}));

export function Limits({ job, set }: JobFieldsProps) {
  const { limits } = job;
  return (
    <Section title="Limits of the shop">
      <div class="pair">
        <LengthField
          label="Least overlap"
          mm={limits.minOverlapMm}
          unit={job.displayUnit}
          onChange={(minOverlapMm) => set('Change a limit', { limits: { ...limits, minOverlapMm } })}
        />
        <LengthField
          label="Least panel width"
          mm={limits.minPanelMm}
          unit={job.displayUnit}
          onChange={(minPanelMm) => set('Change a limit', { limits: { ...limits, minPanelMm } })}
        />
      </div>
      <LengthField
        label="Longest horizontal panel, size on roll"
        mm={limits.longestPanelMm}
        unit={job.displayUnit}
        onChange={(longestPanelMm) => set('Change a limit', { limits: { ...limits, longestPanelMm } })}
      />
      <SelectField
        label="Overlap seams are trimmed"
        value={limits.seamTrim ?? 'tape'}
        options={SEAM_TRIMS}
        onChange={(seamTrim) => void set('Change how seams are trimmed', { limits: { ...limits, seamTrim } })}
      />
      <div class="pair">
        <LengthField
          label="Space from film edges to rivet heads"
          mm={limits.rivetClearanceMm}
          unit={job.displayUnit}
          onChange={(rivetClearanceMm) => set('Change a limit', { limits: { ...limits, rivetClearanceMm } })}
        />
        <LengthField
          label="Diameter of rivet heads"
          mm={limits.rivetHeadMm}
          unit={job.displayUnit}
          onChange={(rivetHeadMm) => set('Change a limit', { limits: { ...limits, rivetHeadMm } })}
        />
      </div>
      <div class="pair">
        <LengthField
          label="Most rise of a seam over its length"
          mm={limits.mostRiseMm ?? DEFAULT_SHAPE_LIMITS.mostRiseMm}
          unit={job.displayUnit}
          onChange={(mostRiseMm) => set('Change a limit', { limits: { ...limits, mostRiseMm } })}
        />
        <LengthField
          label="Least radius of film corners"
          mm={limits.leastCornerRadiusMm ?? DEFAULT_SHAPE_LIMITS.leastCornerRadiusMm}
          unit={job.displayUnit}
          onChange={(leastCornerRadiusMm) =>
            set('Change a limit', { limits: { ...limits, leastCornerRadiusMm } })
          }
        />
      </div>
      <NumberField
        label="Greatest difference of proportions, in %"
        value={limits.maxProportionErrorPercent}
        onChange={(maxProportionErrorPercent) =>
          set('Change a limit', { limits: { ...limits, maxProportionErrorPercent } })
        }
      />
    </Section>
  );
}
