/** What the bench shows: one side, all of them, or a page of the artwork; and its view options. */
import type { ComponentChildren } from 'preact';
import type { Job } from '../../core/job/schema.ts';
import { sideCalled } from '../../core/job/vehicles.ts';
import { Button } from '../parts/button.tsx';
import { artworkFacts } from '../state/open-job.ts';
import { changeSettings, settings } from '../state/settings.ts';
import {
  type Shown,
  shown,
  showStage,
  stage,
  viewport,
  zoomBy,
  zoomToFit,
  zoomToTrueSize,
} from './bench-state.ts';
import { TRUE_SIZE_PX_PER_MM } from './viewport.ts';

const ZOOM_STEP = 1.25;

interface StageTabsProps {
  readonly job: Job;
  /** Buttons for the side in hand. */
  readonly children: ComponentChildren;
}

export function StageTabs({ job, children }: StageTabsProps) {
  const here = stage.value;
  const pages = artworkFacts.value?.pages ?? [];
  return (
    <div class="toolbar stage-tabs">
      <nav class="tabs" aria-label="On the bench">
        {job.sides.map((side) => (
          <StageTab
            key={side.id}
            isHere={here.kind === 'side' && here.sideId === side.id}
            onClick={() => showStage({ kind: 'side', sideId: side.id })}
          >
            <strong>{sideCalled(job, side).code}</strong> <span class="tab-name">{side.name}</span>
          </StageTab>
        ))}
        {job.sides.length > 1 && (
          <StageTab isHere={here.kind === 'all'} onClick={() => showStage({ kind: 'all' })}>
            All sides
          </StageTab>
        )}
        {job.artwork && (
          <StageTab
            isHere={here.kind === 'page'}
            onClick={() => showStage({ kind: 'page', page: pages[0]?.number ?? 1 })}
          >
            Artwork<span class="tab-more"> pages</span>
          </StageTab>
        )}
      </nav>
      {here.kind === 'page' && pages.length > 1 && (
        <label class="page-choice">
          Page{' '}
          <select
            class="input"
            value={here.page}
            onChange={(event) => showStage({ kind: 'page', page: Number(event.currentTarget.value) })}
          >
            {pages.map(({ number }) => (
              <option key={number} value={number}>
                {number} of {pages.length}
              </option>
            ))}
          </select>
        </label>
      )}
      <span class="toolbar-gap" />
      {job.sides.length > 0 && children}
      <ShownChoice />
      <ZoomButtons />
    </div>
  );
}

interface StageTabProps {
  readonly isHere: boolean;
  readonly children: ComponentChildren;
  onClick(): void;
}

function StageTab({ isHere, children, onClick }: StageTabProps) {
  return (
    <button type="button" class="tab" {...(isHere && { 'aria-current': 'true' as const })} onClick={onClick}>
      {children}
    </button>
  );
}

const SHOWN_WORDS: Readonly<Record<keyof Shown, string>> = {
  artwork: 'Artwork',
  areas: 'Body lines, areas and guide lines',
  films: 'Film and printed image of the selected panel',
  fit: 'What the roll prints',
  names: 'Numbers and names',
};

function ShownChoice() {
  return (
    <details class="popover">
      <summary class="button">View</summary>
      <fieldset>
        <legend class="screen-reader-only">What to view</legend>
        {(Object.keys(SHOWN_WORDS) as (keyof Shown)[]).map((key) => (
          <label key={key} class="check">
            <input
              type="checkbox"
              checked={shown.value[key]}
              onChange={(event) => {
                shown.value = { ...shown.value, [key]: event.currentTarget.checked };
              }}
            />
            {SHOWN_WORDS[key]}
          </label>
        ))}
        <label class="check">
          <input
            type="checkbox"
            checked={settings.value.isLoupeShown}
            onChange={(event) => changeSettings({ isLoupeShown: event.currentTarget.checked })}
          />
          Loupe while measuring and dragging
        </label>
      </fieldset>
    </details>
  );
}

function ZoomButtons() {
  const percent = (viewport.value.pxPerMm / TRUE_SIZE_PX_PER_MM) * 100;
  return (
    <div class="zoom">
      <Button onClick={() => zoomBy(1 / ZOOM_STEP)} title="Zoom out (-)">
        −
      </Button>
      <output aria-label="Zoom" title="Share of the finished size">
        {percent < 10 ? percent.toFixed(1) : percent.toFixed(0)} %
      </output>
      <Button onClick={() => zoomBy(ZOOM_STEP)} title="Zoom in (+)">
        +
      </Button>
      <Button onClick={zoomToFit} title="View everything (0)">
        Fit
      </Button>
      <Button onClick={zoomToTrueSize} title="View at finished size (9)">
        1:1
      </Button>
    </div>
  );
}
