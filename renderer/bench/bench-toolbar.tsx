/** Tools and undo. Names and keys are those of the commands. */
import { historyRedoLabel, historyUndoLabel } from '../../core/job/history.ts';
import { firstOf } from '../../core/measure/present.ts';
import { commandById, keysShown } from '../commands/command.ts';
import { Icon, type IconName } from '../parts/icon.tsx';
import { isReadOnly, jobHistory, redoEdit, undoEdit, undoEdits } from '../state/open-job.ts';
import { isHarmless, isToolFor, stage, type Tool, takeTool, tool } from './bench-state.ts';
import { focusCanvas } from './canvas-focus.ts';

/** Tracing begins in the template section. */
type ToolbarTool = Exclude<Tool, 'trace'>;

interface ToolGroup {
  /** Said once before tools that share it. */
  readonly caption?: string;
  readonly tools: readonly { readonly id: ToolbarTool; readonly name: string }[];
}

const GROUPS: readonly ToolGroup[] = [
  { tools: [{ id: 'select', name: 'Select' }] },
  {
    caption: 'Seam',
    tools: [
      { id: 'seam-vertical', name: 'vertical' },
      { id: 'seam-horizontal', name: 'horizontal' },
    ],
  },
  {
    caption: 'Body line',
    tools: [
      { id: 'line-vertical', name: 'vertical' },
      { id: 'line-horizontal', name: 'horizontal' },
      { id: 'line-points', name: 'by points' },
    ],
  },
  {
    caption: 'Area',
    tools: [
      { id: 'no-seam-area', name: 'no seam' },
      { id: 'ground', name: 'ground' },
      { id: 'no-film-area', name: 'no film' },
      { id: 'door', name: 'door' },
    ],
  },
  { tools: [{ id: 'side', name: 'Draw a side' }] },
  {
    caption: 'Guide line',
    tools: [
      { id: 'guide-vertical', name: 'vertical' },
      { id: 'guide-horizontal', name: 'horizontal' },
    ],
  },
  {
    caption: 'Measure',
    tools: [
      { id: 'distance', name: 'distance' },
      { id: 'measure', name: 'for the scale' },
    ],
  },
];

export function BenchToolbar() {
  const here = stage.value;
  const groups = GROUPS.map((group) => ({
    ...group,
    tools: group.tools.filter(({ id }) => isToolFor(id, here)),
  }));
  return (
    <div class="toolbar bench-toolbar" role="toolbar" aria-label="Tools">
      {groups
        .filter(({ tools }) => tools.length > 0)
        .map(({ caption, tools }) => (
          <div key={firstOf(tools).id} class="tool-group">
            {caption !== undefined && <span class="tool-caption">{caption}</span>}
            {tools.map(({ id, name }) => (
              <ToolButton key={id} id={id} name={name} caption={caption} />
            ))}
          </div>
        ))}
      <span class="toolbar-gap" />
      <HistoryButtons />
    </div>
  );
}

interface ToolButtonProps {
  readonly id: ToolbarTool;
  readonly name: string;
  readonly caption: string | undefined;
}

function ToolButton({ id, name, caption }: ToolButtonProps) {
  const command = commandById(`tool-${id}`);
  const key = command?.keys?.[0];
  return (
    <button
      type="button"
      class="button tool"
      aria-pressed={tool.value === id}
      {...(caption !== undefined && { 'aria-label': `${caption}, ${name}` })}
      disabled={isReadOnly.value && !isHarmless(id)}
      title={`${command?.label ?? name}${key === undefined ? '' : ` (${keysShown(key)})`}`}
      onClick={() => {
        takeTool(id);
        focusCanvas();
      }}
    >
      <Icon name={id satisfies IconName} />
      <span class={WAYS.has(name) ? 'tool-name is-way' : 'tool-name'}>{name}</span>
    </button>
  );
}

/** On narrow screens these show signs instead of words first: the direction of a line tells them apart. */
const WAYS: ReadonlySet<string> = new Set(['vertical', 'horizontal', 'by points']);

function HistoryButtons() {
  const history = jobHistory.value;
  const [undo, redo] = [history && historyUndoLabel(history), history && historyRedoLabel(history)];
  const isShut = isReadOnly.value;
  return (
    <>
      <button
        type="button"
        class="button tool"
        disabled={isShut || undo === undefined}
        title={undo === undefined ? 'Nothing to undo' : `Undo: ${undo} (${keysShown('Ctrl+Z')})`}
        onClick={undoEdit}
      >
        <Icon name="undo" />
        <span class="tool-name is-way">Undo</span>
      </button>
      <Steps />
      <button
        type="button"
        class="button tool"
        disabled={isShut || redo === undefined}
        title={redo === undefined ? 'Nothing to redo' : `Redo: ${redo} (${keysShown('Ctrl+Y')})`}
        onClick={redoEdit}
      >
        <Icon name="redo" />
        <span class="tool-name is-way">Redo</span>
      </button>
    </>
  );
}

const MOST_STEPS = 12;

/** The last edits by name, each to go back to before it. */
function Steps() {
  const past = jobHistory.value?.past ?? [];
  const latest = past.slice(-MOST_STEPS).toReversed();
  return (
    <details class="popover steps">
      <summary class="button tool" title="The last edits by name">
        <span class="screen-reader-only">Last edits</span>
        <span aria-hidden="true">▾</span>
      </summary>
      <fieldset>
        <legend>Go back to before</legend>
        {latest.length === 0 && <p class="quiet">Nothing was edited yet.</p>}
        {latest.map(({ label }, index) => (
          <button
            key={`${past.length - index}`}
            type="button"
            class="button"
            disabled={isReadOnly.value}
            onClick={() => undoEdits(index + 1)}
          >
            {label}
          </button>
        ))}
      </fieldset>
    </details>
  );
}
