/** The inspector of what is chosen on the canvas. */
import type { Job } from '../../../core/job/schema.ts';
import { layouts } from '../../state/open-job.ts';
import { selection, tool } from '../bench-state.ts';
import { DistanceInspector } from './distance-inspector.tsx';
import { ItemInspector } from './item-inspector.tsx';
import { PanelInspector } from './panel-inspector.tsx';
import { SeamInspector } from './seam-inspector.tsx';

export function ChosenInspector({ job }: { readonly job: Job }) {
  if (tool.value === 'distance') return <DistanceInspector job={job} />;
  const chosen = selection.value;
  const layout =
    chosen.kind === 'none' ? undefined : layouts.value.find(({ side }) => side.id === chosen.sideId);
  if (!layout || chosen.kind === 'none' || chosen.kind === 'side') return <NothingChosen />;
  switch (chosen.kind) {
    case 'panel': {
      const panel = layout.panels.find(({ id }) => id === chosen.panelId);
      return panel ? (
        <PanelInspector key={panel.id} job={job} layout={layout} panel={panel} />
      ) : (
        <NothingChosen />
      );
    }
    case 'seams':
      return (
        <SeamInspector
          key={chosen.seamIds.join(' ')}
          job={job}
          layout={layout}
          seams={layout.seams.filter(({ id }) => chosen.seamIds.includes(id))}
        />
      );
    case 'item':
      return <ItemInspector key={chosen.itemId} job={job} side={layout.side} chosen={chosen} />;
  }
}

function NothingChosen() {
  return (
    <div class="hint">
      <p>Click a panel, a seam, a body line or an area. Shift adds seams to the selection.</p>
      <p>Drag a seam to move it; hold Alt to move it freely.</p>
      <p>
        Wheel zooms, Shift and wheel or the space bar with the mouse moves the bench. F1 lists all shortcuts.
      </p>
    </div>
  );
}
