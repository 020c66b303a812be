/** Begins a job with its vehicle: its sides, their sizes, and items of a saved layout. */
import { useState } from 'preact/hooks';
import type { SavedLayout } from '../../core/job/edits/saved-layout.ts';
import { sideOfRole, USUAL_SIDES, type UsualSide } from '../../core/job/edits/side-suggested.ts';
import { jobWithVehicle, type SideToBegin } from '../../core/job/edits/vehicle-begin.ts';
import type { Job, VehicleKind } from '../../core/job/schema.ts';
import { firstVehicle, VEHICLE_KIND_CHOICES, withFirstKind } from '../../core/job/vehicles.ts';
import { showStage } from '../bench/bench-state.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { closeVehicleSides } from '../state/dialogs.ts';
import { editJob } from '../state/open-job.ts';
import { shopItems } from '../state/shop.ts';

type Draft = Partial<Omit<SideToBegin, 'role'>>;

const NO_LAYOUT = '';
const LEAST_SIDE_MM = 100;

export function VehicleSidesDialog({ job }: { readonly job: Job }) {
  const [kind, setKind] = useState<VehicleKind>(firstVehicle(job).kind);
  const [drafts, setDrafts] = useState<Partial<Record<UsualSide, Draft>>>({});
  const [problem, setProblem] = useState<string>();
  const ofKind = withFirstKind(job, kind);
  const change = (role: UsualSide, draft: Draft) => {
    setDrafts({ ...drafts, [role]: { ...drafts[role], ...draft } });
    setProblem(undefined);
  };
  const begin = () => {
    const half = USUAL_SIDES.find((role) => isHalf(drafts[role]));
    if (half) return setProblem(`Enter width and height of the ${half} side, or neither.`);
    const sides = USUAL_SIDES.flatMap((role): SideToBegin[] => {
      const { widthMm, heightMm, savedLayout } = drafts[role] ?? {};
      if (widthMm === undefined || heightMm === undefined) return [];
      return [{ role, widthMm, heightMm, ...(savedLayout && { savedLayout }) }];
    });
    if (sides.length === 0) return setProblem('Enter the width and the height of at least one side.');
    const refused = editJob('Begin with the vehicle', (now) =>
      jobWithVehicle(withFirstKind(now, kind), sides),
    );
    if (refused) return;
    closeVehicleSides();
    showStage({ kind: 'all' });
  };
  return (
    <Dialog title="Begin with the vehicle" onClose={closeVehicleSides}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          begin();
        }}
      >
        <p class="quiet">
          Finished sizes, by tape or from a data sheet. Leave a side empty that the order does not cover.
          Lines, doors and areas are drawn on the bench; a photo or a template helps there.
        </p>
        <SelectField<VehicleKind>
          label="Kind of vehicle"
          value={kind}
          options={VEHICLE_KIND_CHOICES}
          onChange={setKind}
        />
        {USUAL_SIDES.map((role) => (
          <SideDraft
            key={role}
            name={sideOfRole(ofKind, role).name}
            draft={drafts[role] ?? {}}
            unit={job.displayUnit}
            onChange={(draft) => change(role, draft)}
          />
        ))}
        {problem !== undefined && (
          <p class="field-problem" role="alert">
            {problem}
          </p>
        )}
        <div class="dialog-actions">
          <Button onClick={closeVehicleSides}>Cancel</Button>
          <Button isPrimary isSubmit>
            Begin
          </Button>
        </div>
      </form>
    </Dialog>
  );
}

const isHalf = ({ widthMm, heightMm }: Draft = {}): boolean =>
  (widthMm === undefined) !== (heightMm === undefined);

interface SideDraftProps {
  readonly name: string;
  readonly draft: Draft;
  readonly unit: Job['displayUnit'];
  onChange(draft: Draft): void;
}

function SideDraft({ name, draft, unit, onChange }: SideDraftProps) {
  const { savedLayouts } = shopItems.value;
  const length = (set: (mm: number) => void) => (mm: number) => {
    if (mm < LEAST_SIDE_MM) return 'That is too small for a side of a vehicle.';
    set(mm);
    return undefined;
  };
  const take = (savedLayout: SavedLayout | undefined) =>
    savedLayout && onChange({ savedLayout, widthMm: savedLayout.widthMm, heightMm: savedLayout.heightMm });
  return (
    <fieldset class="side-draft">
      <legend>{name}</legend>
      <LengthField
        label="Width"
        mm={draft.widthMm}
        unit={unit}
        onChange={length((widthMm) => onChange({ widthMm }))}
      />
      <LengthField
        label="Height"
        mm={draft.heightMm}
        unit={unit}
        onChange={length((heightMm) => onChange({ heightMm }))}
      />
      {savedLayouts.length > 0 && (
        <SelectField
          label="Saved layout"
          value={draft.savedLayout?.name ?? NO_LAYOUT}
          options={[
            { value: NO_LAYOUT, label: 'None' },
            ...savedLayouts.map((each) => ({ value: each.name, label: each.name })),
          ]}
          onChange={(chosen) => take(savedLayouts.find((each) => each.name === chosen))}
        />
      )}
    </fieldset>
  );
}
