/** Ink, rest, transport and working hours, as a job and its shop have them. */
import { useState } from 'preact/hooks';
import type { ProductionDefaults } from '../../core/shop/production-settings.ts';
import { WorkingHours } from '../../core/shop/working-hours.ts';
import { TextField } from '../parts/field.tsx';
import { NumberField } from '../parts/number-field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { shiftsFromText, shiftsText } from './shift-text.ts';
import type { SetProductionDefaults } from './shop-figure-fields.tsx';

interface ShopTimeProps {
  readonly settings: ProductionDefaults;
  readonly set: SetProductionDefaults;
}

const INKS = [
  { value: 'solvent', label: 'Solvent' },
  { value: 'eco-solvent', label: 'Eco-solvent' },
  { value: 'uv-cured', label: 'UV-cured' },
  { value: 'water-based-resin', label: 'Water-based resin' },
] as const;

export function InkField({ settings, set }: ShopTimeProps) {
  return (
    <SelectField
      label="Ink"
      value={settings.ink}
      options={INKS}
      onChange={(ink) => void set('Set the ink', { ink })}
    />
  );
}

export function RestFields({ settings, set }: ShopTimeProps) {
  return (
    <div class="pair">
      <NumberField
        label="Rest after lamination, h"
        value={settings.restHours}
        onChange={(restHours) => set('Set the rest', { restHours })}
      />
      <NumberField
        label="Transport, h"
        value={settings.transportHours}
        onChange={(transportHours) => set('Set the transport', { transportHours })}
      />
    </div>
  );
}

const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const;

export function WorkingHoursFields({ settings: { workingHours, printsAttended }, set }: ShopTimeProps) {
  const take = (label: string, change: Partial<WorkingHours>, remedy: string) => {
    const changed = WorkingHours.safeParse({ ...workingHours, ...change });
    return changed.success ? set(label, { workingHours: changed.data }) : remedy;
  };
  return (
    <>
      <label class="check">
        <input
          type="checkbox"
          checked={!printsAttended}
          onChange={(event) =>
            void set('Say whether the printer runs unattended', {
              printsAttended: event.currentTarget.checked ? undefined : true,
            })
          }
        />
        Printer runs unattended: printing goes on when nobody is there
      </label>
      {DAYS.map((day, index) => (
        <ShiftField
          key={day}
          day={day}
          text={shiftsText(workingHours.week[index] ?? [])}
          onShifts={(text) => {
            const shifts = shiftsFromText(text);
            if (!shifts) return 'Write shifts as 07:30-12:00, 12:45-16:30.';
            const week = workingHours.week.map((other, at) => (at === index ? shifts : other));
            const remedy = week.every((day) => day.length === 0)
              ? 'Enter at least one shift in the week.'
              : 'Write the shifts of a day in order, without overlap, as 07:30-12:00, 12:45-16:30.';
            return take('Change the working hours', { week }, remedy);
          }}
        />
      ))}
      <ShiftField
        day="Closed on"
        text={workingHours.closed.join(', ')}
        onShifts={(text) => {
          const closed = text.split(/[,;\s]+/).filter((date) => date !== '');
          return take(
            'Change the closed days',
            { closed },
            'Write dates as 2026-12-25, commas between them.',
          );
        }}
      />
    </>
  );
}

interface ShiftFieldProps {
  readonly day: string;
  readonly text: string;
  onShifts(text: string): string | undefined;
}

function ShiftField({ day, text, onShifts }: ShiftFieldProps) {
  const [typed, setTyped] = useState<string>();
  const [problem, setProblem] = useState<string>();
  return (
    <TextField
      label={day}
      value={typed ?? text}
      problem={problem}
      onChange={(given) => {
        const refused = onShifts(given);
        setProblem(refused);
        setTyped(refused === undefined ? undefined : given);
      }}
    />
  );
}
