/** Notes on single vehicles of a fleet: the count of panels that arrived, and instructions for the crew. */
import { useState } from 'preact/hooks';
import { unitNoted } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { arrivedText, unitArrivals } from '../../../core/layout/unit-arrivals.ts';
import { TextField } from '../../parts/field.tsx';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob, layouts } from '../../state/open-job.ts';

export function UnitNotes({ job }: { readonly job: Job }) {
  const [selected, setSelected] = useState('');
  const [problem, setProblem] = useState<string>();
  const units = unitArrivals(job, layouts.value);
  const unit = units.find(({ unitNumber }) => unitNumber === selected) ?? units[0];
  if (!unit) return null;
  const { unitNumber } = unit;
  const note = (label: string, change: Parameters<typeof unitNoted>[1]['change']) =>
    editJob(label, (now) => unitNoted(now, { unitNumber, change }), { isQuiet: true })?.message;
  const noted = units.filter(
    ({ installNote, panelsArrived }) => installNote !== undefined || panelsArrived !== undefined,
  );
  return (
    <Section title="Check-in and notes, by vehicle">
      <SelectField
        label="Of vehicle"
        value={unitNumber}
        options={units.map((each) => ({ value: each.unitNumber, label: each.unitNumber }))}
        onChange={(to) => {
          setSelected(to);
          setProblem(undefined);
        }}
      />
      <TextField
        key={`arrived ${unitNumber}`}
        label={`Panels arrived, of ${unit.panels}`}
        value={unit.panelsArrived === undefined ? '' : String(unit.panelsArrived)}
        problem={problem}
        onChange={(text) => {
          const isCount = /^\d{0,4}$/.test(text.trim());
          const panelsArrived = text.trim() === '' ? undefined : Number(text);
          setProblem(
            isCount
              ? note('Count the panels that arrived', { panelsArrived })
              : `Enter a whole number, such as ${unit.panels}.`,
          );
        }}
      />
      <TextField
        key={`note ${unitNumber}`}
        label="Note for the crew"
        value={unit.installNote ?? ''}
        isMultiline
        onChange={(installNote) => void note('Note something of a vehicle', { installNote })}
      />
      {noted.length > 0 && (
        <ul class="notes">
          {noted.map((each) => (
            <li key={each.unitNumber} class="note">
              {[
                each.unitNumber,
                each.panelsArrived !== undefined && `${arrivedText(each)} panels arrived`,
                each.installNote,
              ]
                .filter(Boolean)
                .join(' · ')}
            </li>
          ))}
        </ul>
      )}
    </Section>
  );
}
