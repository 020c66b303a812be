/** All that is said once per job, so that a new job can be filled without leaving the bench. */
import { useState } from 'preact/hooks';
import { DEFAULT_SHAPE_LIMITS } from '../../../core/job/defaults.ts';
import { type JobChange, jobSet } from '../../../core/job/edits/edits.ts';
import { jobAllowances } from '../../../core/job/joint-default.ts';
import type { Film, Job } from '../../../core/job/schema.ts';
import { TRIM_NAMES } from '../../../core/job/shop-differences.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Field, TextField } from '../../parts/field.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { NumberField } from '../../parts/number-field.tsx';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob } from '../../state/open-job.ts';
import { ArtworkLimitFields } from './artwork-limits.tsx';
import { FilmPrint } from './film-print.tsx';
import { ShopSection } from './shop-section.tsx';
import { VehicleSections } from './vehicle-section.tsx';

/** Makes a change; returns the sentence why not. Changes of one `gesture` in a row are one step of undo. */
export type SetJob = (label: string, change: JobChange, gesture?: string) => string | undefined;

export interface JobFieldsProps {
  readonly job: Job;
  readonly set: SetJob;
}

export function JobInspector({ job }: { readonly job: Job }) {
  const set: SetJob = (label, change, gesture) =>
    editJob(label, (now) => jobSet(now, { change }), { isQuiet: true, ...(gesture && { gesture }) })?.message;
  return (
    <>
      <ShopSection job={job} />
      <Order job={job} set={set} />
      <VehicleSections job={job} />
      <FilmSection title="Film" film={job.film} set={(film) => set('Change the film', { film })} />
      <FilmPrint job={job} set={(film) => set('Change the film', { film })} />
      <Laminate job={job} set={set} />
      <PrinterSection job={job} set={set} />
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

interface RequiredTextProps {
  readonly label: string;
  readonly value: string;
  set(value: string): string | undefined;
}

/** Text that must not be empty. */
function RequiredText({ label, value, set }: RequiredTextProps) {
  const [problem, setProblem] = useState<string>();
  return (
    <TextField
      label={label}
      value={value}
      problem={problem}
      onChange={(text) => setProblem(text.trim() === '' ? `${label} must not be empty.` : set(text))}
    />
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

const FILM_KINDS = [
  { value: 'cast', label: 'Cast' },
  { value: 'calendered-polymeric', label: 'Calendered, polymeric' },
  { value: 'calendered-monomeric', label: 'Calendered, monomeric' },
] as const;

interface FilmSectionProps {
  readonly title: string;
  readonly film: Film;
  set(film: Film): string | undefined;
  onRemove?(): void;
}

export function FilmSection({ title, film, set, onRemove }: FilmSectionProps) {
  return (
    <Section title={title}>
      <RequiredText
        label={`Name of the ${title.toLowerCase()}`}
        value={film.name}
        set={(name) => set({ ...film, name })}
      />
      <SelectField
        label="Kind"
        value={film.kind}
        options={FILM_KINDS}
        onChange={(kind) => void set({ ...film, kind })}
      />
      <div class="pair">
        <TextField label="Finish" value={film.finish} onChange={(finish) => void set({ ...film, finish })} />
        <TextField
          label="Lot number"
          value={film.lotNumber}
          onChange={(lotNumber) => void set({ ...film, lotNumber })}
        />
      </div>
      {onRemove && <Button onClick={onRemove}>Go without laminate</Button>}
    </Section>
  );
}

const NEW_LAMINATE: Film = { name: 'Cast laminate', kind: 'cast', finish: '', lotNumber: '' };

export function Laminate({ job, set }: JobFieldsProps) {
  if (!job.laminate) {
    return (
      <Section title="Laminate">
        <p class="quiet">Printed film is installed without a laminate.</p>
        <Button onClick={() => void set('Add a laminate', { laminate: NEW_LAMINATE })}>Add a laminate</Button>
      </Section>
    );
  }
  return (
    <FilmSection
      title="Laminate"
      film={job.laminate}
      set={(laminate) => set('Change the laminate', { laminate })}
      onRemove={() => void set('Go without laminate', { laminate: null })}
    />
  );
}

function PrinterSection({ job, set }: JobFieldsProps) {
  const { printer } = job;
  const length = (
    label: string,
    key: 'rollWidthMm' | 'rollLengthMm' | 'marginLeftMm' | 'marginRightMm' | 'longestPrintMm',
    hint?: string,
  ) => (
    <LengthField
      label={label}
      mm={printer[key]}
      unit={job.displayUnit}
      isRun={key === 'rollLengthMm' || key === 'longestPrintMm'}
      onChange={(mm) => set('Change the printer', { printer: { ...printer, [key]: mm } })}
      {...(hint !== undefined && { hint })}
    />
  );
  return (
    <Section title="Printer and roll">
      <RequiredText
        label="Printer"
        value={printer.name}
        set={(name) => set('Change the printer', { printer: { ...printer, name } })}
      />
      {length('Width of the roll', 'rollWidthMm', 'The true width: a 54 in roll is 1371.6 mm.')}
      <div class="pair">
        {length('Margin left', 'marginLeftMm')}
        {length('Margin right', 'marginRightMm')}
      </div>
      <div class="pair">
        {length('Length of the roll', 'rollLengthMm')}
        {length('Longest print', 'longestPrintMm')}
      </div>
      <NumberField
        label="Length error of the feed, in %"
        value={printer.feedErrorPercent}
        hint="+0.2 where a print comes out 0.2 % long."
        onChange={(feedErrorPercent) =>
          set('Change the printer', { printer: { ...printer, feedErrorPercent } })
        }
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
