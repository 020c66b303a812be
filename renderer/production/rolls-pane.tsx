/** Rolls in stock and the rules by which panels are nested on them. */

import type { Job } from '../../core/job/schema.ts';
import { isFleet } from '../../core/job/vehicles.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import { rollStockFromPrinter } from '../../core/rolls/from-job.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import type { RollStock } from '../../core/shop/rolls.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { showScreen } from '../state/route.ts';
import { FillList } from './fill-list.tsx';
import { setProduction } from './production-state.ts';
import { SharedPlanList } from './shared-plan-list.tsx';
import { ShelfOffers } from './shelf-offers.tsx';

interface RollsPaneProps {
  readonly job: Job;
  readonly made: FilmProduction | undefined;
  readonly settings: ProductionSettings;
}

export function RollsPane({ job, made, settings }: RollsPaneProps) {
  return (
    <>
      <Rules job={job} settings={settings} />
      <Section title="Rolls at hand">
        {settings.rolls.length === 0 ? (
          <p class="quiet">
            As many full rolls as needed, as the job’s printer describes them. Enter the rolls that really
            stand on the shelf to nest on what is left of them.
          </p>
        ) : (
          settings.rolls.map((roll) => (
            <RollFields key={roll.id} roll={roll} rolls={settings.rolls} unit={job.displayUnit} />
          ))
        )}
        <div class="buttons">
          <Button onClick={() => void addRoll(job, settings, made)}>Add a roll</Button>
          {settings.rolls.length > 0 && (
            <Button onClick={() => void setProduction('Nest on full rolls', { rolls: [] })}>
              Nest on full rolls
            </Button>
          )}
        </div>
      </Section>
      <ShelfOffers job={job} settings={settings} />
      {made && <FillList job={job} made={made} />}
      <Section title="With other jobs">
        <p class="quiet">
          Jobs that print on the same film can be nested on the same rolls: short panels of one fill the film
          beside another’s.
        </p>
        <SharedPlanList jobId={job.id} />
        <div class="buttons">
          <Button onClick={() => showScreen({ screen: 'shared-rolls', jobIds: [job.id] })}>
            Share rolls with other jobs
          </Button>
        </div>
      </Section>
    </>
  );
}

/** Ids count as the rolls that are assumed do, so that panels locked on those stay where they are. */
function addRoll(job: Job, { rolls, film }: ProductionSettings, made: FilmProduction | undefined) {
  const taken = new Set(rolls.map(({ id }) => id));
  let number = 1;
  while (taken.has(`roll-${number}`)) number++;
  const assumed = made?.rolls.find(({ id }) => id === `roll-${number}`);
  const roll =
    assumed ??
    rollStockFromPrinter(job.printer, `roll-${number}`, `${film?.name ?? job.film.name}, roll ${number}`);
  return setProduction('Add a roll', { rolls: [...rolls, roll] });
}

interface RollFieldsProps {
  readonly roll: RollStock;
  readonly rolls: readonly RollStock[];
  readonly unit: 'mm' | 'in';
}

function RollFields({ roll, rolls, unit }: RollFieldsProps) {
  const set = (change: Partial<RollStock>) =>
    setProduction('Change a roll', {
      rolls: rolls.map((other) => (other.id === roll.id ? { ...other, ...change } : other)),
    });
  const length = (
    label: string,
    key: 'widthMm' | 'leftMarginMm' | 'rightMarginMm' | 'usableLengthMm' | 'leadInMm' | 'tailMm',
  ) => <LengthField label={label} mm={roll[key]} unit={unit} onChange={(mm) => set({ [key]: mm })} />;
  return (
    <fieldset class="roll-fields">
      <legend>{roll.label}</legend>
      <TextField label="What it is called" value={roll.label} onChange={(label) => void set({ label })} />
      <div class="pair">
        {length('True width', 'widthMm')}
        {length('Usable length left', 'usableLengthMm')}
      </div>
      <div class="pair">
        {length('Left margin', 'leftMarginMm')}
        {length('Right margin', 'rightMarginMm')}
      </div>
      <div class="pair">
        {length('Lead-in', 'leadInMm')}
        {length('Tail', 'tailMm')}
      </div>
      <Button
        title={`Take ${roll.label} off the list`}
        onClick={() =>
          void setProduction('Remove a roll', { rolls: rolls.filter(({ id }) => id !== roll.id) })
        }
      >
        Remove
      </Button>
    </fieldset>
  );
}

const FLEET_ORDERS = [
  { value: 'together', label: 'All vehicles together' },
  { value: 'set-by-set', label: 'One vehicle after the other' },
] as const;

const PRINT_ORDERS = [
  { value: 'first-installed-first', label: 'First installed, first printed' },
  { value: 'last-installed-first', label: 'Last installed, first printed' },
  { value: 'any', label: 'Any' },
] as const;

function Rules({ job, settings }: { readonly job: Job; readonly settings: ProductionSettings }) {
  const { rules, mayTurn } = settings;
  const set = (change: Partial<ProductionSettings['rules']>) =>
    setProduction('Change a rule of nesting', { rules: { ...rules, ...change } });
  return (
    <Section title="Rules">
      <LengthField
        label="Space between panels"
        mm={rules.gapMm}
        unit={job.displayUnit}
        onChange={(gapMm) => set({ gapMm })}
      />
      <Check
        label="All panels of a side on one roll"
        isOn={rules.sideOnOneRoll}
        onChange={(sideOnOneRoll) => void set({ sideOnOneRoll })}
      />
      <Check
        label="All panels of a side print in one direction"
        isOn={rules.sideInOneDirection}
        onChange={(sideInOneDirection) => void set({ sideInOneDirection })}
      />
      <Check
        label="Panels may be turned by 90°"
        isOn={mayTurn}
        onChange={(turn) => void setProduction('Allow turning', { mayTurn: turn })}
      />
      {isFleet(job) && (
        <SelectField
          label="Nest and print"
          value={settings.fleetOrder ?? 'together'}
          options={FLEET_ORDERS}
          onChange={(fleetOrder) => void setProduction('Say how a fleet prints', { fleetOrder })}
        />
      )}
      <SelectField
        label="Print order"
        value={rules.printOrder}
        options={PRINT_ORDERS}
        onChange={(printOrder) => void set({ printOrder })}
      />
    </Section>
  );
}

interface CheckProps {
  readonly label: string;
  readonly isOn: boolean;
  onChange(isOn: boolean): void;
}

function Check({ label, isOn, onChange }: CheckProps) {
  return (
    <label class="check">
      <input type="checkbox" checked={isOn} onChange={(event) => onChange(event.currentTarget.checked)} />
      {label}
    </label>
  );
}
