/** Below the canvas: the table of panels, or what the checks say. */
import { signal, useSignalEffect } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { isAcknowledged } from '../../core/findings/layout/findings.ts';
import type { Job } from '../../core/job/schema.ts';
import { FindingList } from '../parts/finding-list.tsx';
import { takeSoughtFinding } from '../state/finding-way.ts';
import { findings } from '../state/job-findings.ts';
import { layouts } from '../state/open-job.ts';
import { changeSettings, settings } from '../state/settings.ts';
import { showFindingPlace } from './finding-place.ts';
import { PanelTable } from './panel-table.tsx';

type DockTab = 'panels' | 'findings';

const openTab = signal<DockTab>('panels');
const LEAST_REM = 6;
const MOST_REM = 40;
const STEP_REM = 1;

export function BenchDock({ job }: { readonly job: Job }) {
  useSignalEffect(() => {
    const sought = takeSoughtFinding('bench');
    if (!sought) return;
    openTab.value = 'findings';
    showFindingPlace(sought);
  });
  const panelCount = layouts.value.reduce((sum, { panels }) => sum + panels.length, 0);
  const open = findings.value.filter((finding) => !isAcknowledged(job, finding));
  const stops = open.filter(({ severity }) => severity === 'stop').length;
  const warns = open.filter(({ severity }) => severity === 'warn').length;
  const found = [stops > 0 && `${stops} to stop`, warns > 0 && `${warns} to acknowledge`].filter(Boolean);
  return (
    <section class="dock" aria-label="Panels and findings" style={{ height: `${settings.value.dockRem}rem` }}>
      <div class="dock-head">
        <div class="tabs" role="tablist" aria-label="Panels and findings">
          <DockButton tab="panels">Panels {panelCount}</DockButton>
          <DockButton tab="findings">
            Findings {found.length === 0 ? findings.value.length : found.join(', ')}
          </DockButton>
        </div>
        <DockGrip />
      </div>
      <div
        class="dock-body"
        role="tabpanel"
        id="dock-panel"
        aria-labelledby={`dock-${openTab.value}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
        tabIndex={0}
      >
        {openTab.value === 'panels' ? <PanelTable job={job} /> : <FindingList findings={findings.value} />}
      </div>
    </section>
  );
}

function DockButton({ tab, children }: { readonly tab: DockTab; readonly children: ComponentChildren }) {
  return (
    <button
      type="button"
      role="tab"
      id={`dock-${tab}`}
      class="tab"
      aria-selected={openTab.value === tab}
      aria-controls="dock-panel"
      onClick={() => {
        openTab.value = tab;
      }}
    >
      {children}
    </button>
  );
}

/** What is left of the dock's head, to be dragged or moved with the arrow keys. */
function DockGrip() {
  const rem = settings.value.dockRem;
  const set = (next: number) =>
    changeSettings({ dockRem: Math.min(Math.max(Math.round(next * 4) / 4, LEAST_REM), MOST_REM) });
  return (
    // biome-ignore lint/a11y/useSemanticElements: a separator that can be moved has no element of its own.
    <div
      class="dock-grip"
      role="separator"
      aria-label="Height of the panel table"
      aria-orientation="horizontal"
      aria-valuenow={Math.round(rem)}
      aria-valuemin={LEAST_REM}
      aria-valuemax={MOST_REM}
      tabIndex={0}
      onKeyDown={(event) => {
        if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
        event.preventDefault();
        set(rem + (event.key === 'ArrowUp' ? STEP_REM : -STEP_REM));
      }}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={(event) => {
        if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
        const remPx = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
        set(settings.peek().dockRem - event.movementY / remPx);
      }}
    />
  );
}
