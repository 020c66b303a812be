/** The place of the chosen panel, to be typed exactly. */

import { firstOf } from '../../core/measure/present.ts';
import type { RollPlacement } from '../../core/shop/rolls.ts';
import { Button } from '../parts/button.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import type { RollDesk, RollsLaid } from './roll-desk.ts';

interface PanelPlaceFormProps {
  readonly desk: RollDesk;
  readonly laid: RollsLaid;
  readonly unit: 'mm' | 'in';
}

export function PanelPlaceForm({ desk, laid, unit }: PanelPlaceFormProps) {
  const { items, placements, chosenPanelId, lockedIds, isReadOnly, lockPanel, unlockPanels } = desk;
  const item = items.value.find(({ panelId }) => panelId === chosenPanelId.value);
  const place = placements.value.find(({ panelId }) => panelId === item?.panelId);
  if (!item) return <p class="hint">Select a panel on a roll to type its place.</p>;
  if (!place) {
    return (
      <div class="panel-place">
        <strong>{item.label}</strong> <span>is on no roll.</span>
        <Button
          isDisabled={isReadOnly.value || laid.rolls.length === 0}
          onClick={() => lockPanel(firstPlacement(item.panelId, laid), `Place ${item.label} on a roll`)}
        >
          Place it on the first roll
        </Button>
      </div>
    );
  }
  const move = (change: Partial<RollPlacement>) => {
    lockPanel({ ...place, ...change }, `Move ${item.label} on the roll`);
    return undefined;
  };
  const isLocked = lockedIds.value.has(item.panelId);
  return (
    <fieldset class="panel-place" disabled={isReadOnly.value}>
      <legend class="screen-reader-only">Place of {item.label}</legend>
      <strong>{item.label}</strong>
      <SelectField
        label="Roll"
        value={place.rollId}
        options={laid.rolls.map(({ id, label }) => ({ value: id, label }))}
        onChange={(rollId) => void move({ rollId })}
      />
      <LengthField
        label="From the start"
        mm={place.yMm}
        unit={unit}
        isRun
        onChange={(yMm) => move({ yMm })}
      />
      <LengthField label="From the left edge" mm={place.xMm} unit={unit} onChange={(xMm) => move({ xMm })} />
      <label class="check">
        <input type="checkbox" checked={place.turned} onChange={() => void move({ turned: !place.turned })} />
        Turned
      </label>
      <label class="check">
        <input
          type="checkbox"
          checked={isLocked}
          onChange={() => {
            if (isLocked) unlockPanels(new Set([item.panelId]));
            else lockPanel(place, `Lock ${item.label} on the roll`);
          }}
        />
        Locked here
      </label>
    </fieldset>
  );
}

function firstPlacement(panelId: string, { rolls }: RollsLaid): RollPlacement {
  const roll = firstOf(rolls);
  return { panelId, rollId: roll.id, xMm: roll.leftMarginMm, yMm: roll.leadInMm, turned: false };
}
