/** The commands that apply to the item under the pointer, or to the selection. */
import { signal } from '@preact/signals';
import { type Command, commandById, keysShown } from '../commands/command.ts';
import { Menu } from '../parts/menu.tsx';
import { selection } from './bench-state.ts';
import { focusCanvas } from './canvas-focus.ts';
import type { PxPoint } from './viewport.ts';

const OF_SELECTION = [
  'panel-view',
  'seam-look',
  'cut-vertical',
  'cut-horizontal',
  'door-section',
  'inspector-show',
  'joint-lap',
  'joint-butt',
  'joint-gap',
  'tops-swap',
  'seams-distribute',
  'seams-distribute-film',
  'seams-lock',
  'chosen-remove',
  'seams-all',
  'zoom-fit',
] as const;

interface OpenMenu {
  readonly at: PxPoint;
  readonly commands: readonly Command[];
}

const openMenu = signal<OpenMenu | undefined>(undefined);

/** `at`: in the window. Commands are asked while the canvas still has the focus, which most of them need. */
export function openBenchMenu(at: PxPoint): void {
  // A panel is not removed: its seams are.
  const isOfPanel = selection.value.kind === 'panel';
  const ids = OF_SELECTION.filter((id) => !(isOfPanel && id === 'chosen-remove'));
  const commands = ids.flatMap((id) => commandById(id) ?? []).filter(({ isEnabled }) => isEnabled());
  openMenu.value = commands.length > 0 ? { at, commands } : undefined;
}

export function BenchMenu() {
  const open = openMenu.value;
  if (!open) return null;
  const items = open.commands.map(({ label, keys, run }) => ({
    label,
    run,
    ...(keys?.[0] !== undefined && { keys: keysShown(keys[0]) }),
  }));
  return (
    <Menu
      label="What can be done here"
      items={items}
      at={open.at}
      onClose={() => {
        openMenu.value = undefined;
        focusCanvas();
      }}
    />
  );
}
