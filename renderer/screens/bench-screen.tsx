/** The bench: artwork, sides, seams and panels, with everything that is known of them beside it. */
import { useEffect } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import { ArtworkDrop } from '../bench/artwork-drop.tsx';
import { Announcement, BenchCanvas } from '../bench/bench-canvas.tsx';
import { BenchDock } from '../bench/bench-dock.tsx';
import { openBench, sideInHand, stage } from '../bench/bench-state.ts';
import { BenchStatus } from '../bench/bench-status.tsx';
import { BenchToolbar } from '../bench/bench-toolbar.tsx';
import { Inspector } from '../bench/inspector/inspector.tsx';
import { StageTabs } from '../bench/stage-tabs.tsx';
import { arePlansOpen } from '../layouts/plan-state.ts';
import { PlansButton, PlansPanel } from '../layouts/plans-panel.tsx';
import { StartPanel } from '../start/start-panel.tsx';
import { startStep } from '../start/start-state.ts';
import { VehicleSidesDialog } from '../start/vehicle-sides.tsx';
import { isVehicleSidesOpen } from '../state/dialogs.ts';

export function BenchScreen({ job }: { readonly job: Job }) {
  useEffect(() => openBench(), [job.id]);
  const on = stage.value;
  const label =
    on.kind === 'page'
      ? `Artwork page ${on.page}`
      : on.kind === 'all'
        ? 'All sides'
        : `Side ${sideInHand.value?.code ?? ''}, ${sideInHand.value?.name ?? ''}`;
  return (
    <div class="bench">
      <h1 class="screen-reader-only">Bench</h1>
      <BenchToolbar />
      <StageTabs job={job}>
        <PlansButton />
      </StageTabs>
      {/* What the layouts lie over is out of reach as long as they do. */}
      <div class="bench-floor" inert={arePlansOpen.value}>
        <div class="bench-middle">
          <ArtworkDrop job={job}>
            {startStep.value ? <StartPanel job={job} /> : <BenchCanvas label={label} />}
          </ArtworkDrop>
          {startStep.value === undefined && <BenchDock job={job} />}
          <div class="bench-foot">
            <Announcement />
            {startStep.value === undefined && <BenchStatus job={job} />}
          </div>
        </div>
        <Inspector job={job} />
      </div>
      <PlansPanel job={job} />
      {isVehicleSidesOpen.value && <VehicleSidesDialog job={job} />}
    </div>
  );
}
