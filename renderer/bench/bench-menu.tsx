/** What can be done with what lies under the pointer, or with what is selected: the commands that apply there. */
import { signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { type Command, commandById, keysShown } from '../commands/command.ts';
import { selection } from './bench-state.ts';
import { focusCanvas } from './canvas-focus.ts';
import type { PxPoint } from './viewport.ts';

const OF_SELECTION = [
  'panel-view',
  'cut-vertical',
  'cut-horizontal',
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

const MARGIN_PX = 4;

interface OpenMenu {
  readonly at: PxPoint;
  readonly commands: readonly Command[];
}

const openMenu = signal<OpenMenu | undefined>(undefined);

/** Commands are asked while the canvas still has the focus, which most of them need. */
export function openBenchMenu(at: PxPoint): void {
  // A panel is not removed: its seams are.
  const isOfPanel = selection.value.kind === 'panel';
  const ids = OF_SELECTION.filter((id) => !(isOfPanel && id === 'chosen-remove'));
  const commands = ids.flatMap((id) => commandById(id) ?? []).filter(({ isEnabled }) => isEnabled());
  openMenu.value = commands.length > 0 ? { at, commands } : undefined;
}

export function BenchMenu() {
  const menu = useRef<HTMLDivElement>(null);
  const open = openMenu.value;
  const close = () => {
    openMenu.value = undefined;
    focusCanvas();
  };
  useEffect(() => {
    const box = menu.current;
    if (!open || !box) return;
    // Where the canvas ends it opens the other way.
    const room = box.parentElement!;
    box.style.left = `${Math.max(0, Math.min(open.at.xPx, room.clientWidth - box.offsetWidth - MARGIN_PX))}px`;
    box.style.top = `${Math.max(0, Math.min(open.at.yPx, room.clientHeight - box.offsetHeight - MARGIN_PX))}px`;
    box.querySelector('button')?.focus({ preventScroll: true });
    const press = ({ target }: PointerEvent) => {
      if (!(target instanceof Node && menu.current?.contains(target))) openMenu.value = undefined;
    };
    window.addEventListener('pointerdown', press, { capture: true });
    return () => window.removeEventListener('pointerdown', press, { capture: true });
  }, [open]);
  if (!open) return null;
  const step = (event: KeyboardEvent) => {
    const items = [...(menu.current?.querySelectorAll('button') ?? [])];
    const here = items.indexOf(document.activeElement as HTMLButtonElement);
    const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (event.key === 'Escape' || event.key === 'Tab') close();
    else if (by !== undefined) items[(here + by + items.length) % items.length]?.focus();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div
      ref={menu}
      class="bench-menu"
      role="menu"
      tabIndex={-1}
      aria-label="What can be done here"
      style={{ left: `${open.at.xPx}px`, top: `${open.at.yPx}px` }}
      onKeyDown={step}
    >
      {open.commands.map(({ id, label, keys, run }) => (
        <button
          key={id}
          type="button"
          role="menuitem"
          onClick={() => {
            close();
            void run();
          }}
        >
          <span>{label}</span>
          {keys?.[0] !== undefined && <kbd>{keysShown(keys[0])}</kbd>}
        </button>
      ))}
    </div>
  );
}
