/** Layouts of vehicles that the shop keeps, to be used on a side of the next job of the same kind of vehicle. */
import { useState } from 'preact/hooks';
import {
  applySavedLayout,
  type SavedLayout,
  savedItemCount,
  savedLayoutFromSide,
} from '../../core/job/edits/saved-layout.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { sideCalled, sideVehicle, vehicleName } from '../../core/job/vehicles.ts';
import { sizeText } from '../bench/seam-words.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { editJob, isReadOnly } from '../state/open-job.ts';
import { forgetShopItem, keepShopItem, shopItems } from '../state/shop.ts';

export function SavedLayoutList({ job, side }: { readonly job: Job; readonly side: Side }) {
  const [name, setName] = useState(`${vehicleName(sideVehicle(job, side))}, ${side.name.toLowerCase()}`);
  const count = savedItemCount(side);
  return (
    <div class="lettering">
      <p class="quiet">
        Body lines, difficult ground and no-film areas of a side can be kept in the archive as a saved layout.
        They count from the front edge, so what one side has fits the opposite one, mirrored.
      </p>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          const savedLayout = savedLayoutFromSide(side, job.scale, name.trim());
          void keepShopItem({ kind: 'saved-layout', value: savedLayout });
        }}
      >
        <TextField label="Name of the saved layout" value={name} onChange={setName} onInput={setName} />
        <div>
          <Button isSubmit isDisabled={count === 0 || name.trim() === ''}>
            Keep {count} {count === 1 ? 'item' : 'items'} of {sideCalled(job, side).code}
          </Button>
        </div>
      </form>
      <ul class="lettering-list">
        {shopItems.value.savedLayouts.map((savedLayout) => (
          <SavedLayoutItem key={savedLayout.name} savedLayout={savedLayout} job={job} side={side} />
        ))}
      </ul>
    </div>
  );
}

interface SavedLayoutItemProps {
  readonly savedLayout: SavedLayout;
  readonly job: Job;
  readonly side: Side;
}

function SavedLayoutItem({ savedLayout, job, side }: SavedLayoutItemProps) {
  const size = { width: savedLayout.widthMm, height: savedLayout.heightMm };
  return (
    <li>
      <p>{savedLayout.name}</p>
      <p class="quiet">
        {savedItemCount(savedLayout)} items, of a side of {sizeText(size, job.displayUnit)}
      </p>
      <div class="buttons">
        <Button
          isDisabled={isReadOnly.value}
          title={`Add the items of “${savedLayout.name}” to ${sideCalled(job, side).code}`}
          onClick={() => {
            editJob(`Use the saved layout “${savedLayout.name}”`, (now) =>
              applySavedLayout(now, side.id, savedLayout),
            );
          }}
        >
          Use on {sideCalled(job, side).code}
        </Button>
        <Button
          title={`Delete “${savedLayout.name}” from the archive`}
          onClick={() => void forgetShopItem({ kind: 'saved-layout', value: savedLayout })}
        >
          Delete
        </Button>
      </div>
    </li>
  );
}
