/** Tools, and taking edits back. The names and keys are those of the commands. */
import { historyRedoLabel, historyUndoLabel } from '../../core/job/history.ts';
import { keysShown } from '../commands/command.ts';
import { commandById } from '../commands/commands.ts';
import { Icon, type IconName } from '../parts/icon.tsx';
import { isReadOnly, jobHistory, jobRedone, jobUndone } from '../state/open-job.ts';
import { isToolFor, stage, type Tool, tool, toolTake } from './bench-state.ts';
import { canvasFocus } from './canvas-focus.ts';

const TOOLS: readonly { readonly id: Tool; readonly name: string }[] = [
  { id: 'select', name: 'Choose' },
  { id: 'seam-vertical', name: 'Vertical seam' },
  { id: 'seam-horizontal', name: 'Horizontal seam' },
  { id: 'line-vertical', name: 'Body line' },
  { id: 'line-horizontal', name: 'Level line' },
  { id: 'keep-clear', name: 'Keep clear' },
  { id: 'hard-area', name: 'Hard area' },
  { id: 'opening', name: 'Opening' },
  { id: 'measure', name: 'Measure' },
  { id: 'side', name: 'Draw a side' },
];

export function BenchToolbar() {
  const here = stage.value;
  return (
    <div class="toolbar bench-toolbar" role="toolbar" aria-label="Tools">
      {TOOLS.filter(({ id }) => isToolFor(id, here)).map(({ id, name }) => (
        <ToolButton key={id} id={id} name={name} />
      ))}
      <span class="toolbar-gap" />
      <HistoryButtons />
    </div>
  );
}

function ToolButton({ id, name }: { readonly id: Tool; readonly name: string }) {
  const command = commandById(`tool-${id}`);
  const key = command?.keys?.[0];
  return (
    <button
      type="button"
      class="button tool"
      aria-pressed={tool.value === id}
      disabled={isReadOnly.value && id !== 'select' && id !== 'measure'}
      title={`${command?.label ?? name}${key === undefined ? '' : ` (${keysShown(key)})`}`}
      onClick={() => {
        toolTake(id);
        canvasFocus();
      }}
    >
      <Icon name={id satisfies IconName} />
      {name}
    </button>
  );
}

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
        onClick={jobUndone}
      >
        <Icon name="undo" />
        Undo
      </button>
      <button
        type="button"
        class="button tool"
        disabled={isShut || redo === undefined}
        title={redo === undefined ? 'Nothing to redo' : `Redo: ${redo} (${keysShown('Ctrl+Y')})`}
        onClick={jobRedone}
      >
        <Icon name="redo" />
        Redo
      </button>
    </>
  );
}
