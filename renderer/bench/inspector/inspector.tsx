/** Everything about the selection, its side and the job, to read and edit exactly. */
import { effect, signal } from '@preact/signals';
import type { Job } from '../../../core/job/schema.ts';
import { isReadOnly } from '../../state/open-job.ts';
import { measures, selection, sideInHand, tool } from '../bench-state.ts';
import { ArtworkInspector } from './artwork-inspector.tsx';
import { ChosenInspector } from './chosen-inspector.tsx';
import { JobInspector } from './job-inspector.tsx';
import { SideInspector } from './side-inspector.tsx';

type InspectorTab = 'chosen' | 'side' | 'artwork' | 'job';

const TABS: Readonly<Record<InspectorTab, string>> = {
  chosen: 'Selection',
  side: 'Side',
  artwork: 'Artwork',
  job: 'Job',
};

const openTab = signal<InspectorTab>('job');

/** What is chosen on the canvas comes to the front; a new measure brings the scale. */
effect(() => {
  const { kind } = selection.value;
  if (kind === 'panel' || kind === 'seams' || kind === 'item') openTab.value = 'chosen';
  else if (kind === 'side') openTab.value = 'side';
});
effect(() => {
  if (tool.value === 'distance') openTab.value = 'chosen';
});
effect(() => {
  if (measures.value.length > 0 || tool.value === 'measure') openTab.value = 'artwork';
});

export function Inspector({ job }: { readonly job: Job }) {
  const open = openTab.value;
  return (
    <aside class="inspector" aria-label="Inspector">
      <div class="tabs" role="tablist" aria-label="Inspector">
        {(Object.keys(TABS) as InspectorTab[]).map((name) => (
          <button
            key={name}
            type="button"
            role="tab"
            id={`inspector-${name}`}
            class="tab"
            aria-selected={open === name}
            aria-controls="inspector-panel"
            onClick={() => {
              openTab.value = name;
            }}
          >
            {TABS[name]}
          </button>
        ))}
      </div>
      <div
        class="inspector-body"
        role="tabpanel"
        id="inspector-panel"
        aria-labelledby={`inspector-${open}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
        tabIndex={0}
      >
        <fieldset class="inspector-fields" disabled={isReadOnly.value}>
          <legend class="screen-reader-only">{TABS[open]}</legend>
          <OpenTab job={job} tab={open} />
        </fieldset>
      </div>
    </aside>
  );
}

function OpenTab({ job, tab }: { readonly job: Job; readonly tab: InspectorTab }) {
  switch (tab) {
    case 'chosen':
      return <ChosenInspector job={job} />;
    case 'side':
      return sideInHand.value ? (
        <SideInspector key={sideInHand.value.id} job={job} side={sideInHand.value} />
      ) : (
        <p class="hint">Go to one side, or select one on its artwork page.</p>
      );
    case 'artwork':
      return <ArtworkInspector job={job} />;
    case 'job':
      return <JobInspector job={job} />;
  }
}
