/** A menu that opens beside what it belongs to; arrow keys go through it, Escape closes it and gives the focus back. */
import { useEffect, useRef } from 'preact/hooks';
import { elementOf } from './elements.ts';

export interface MenuItem {
  readonly label: string;
  /** What does the same by keyboard. */
  readonly keys?: string;
  run(): void | Promise<void>;
}

interface MenuProps {
  readonly label: string;
  readonly items: readonly MenuItem[];
  /** In the window, in CSS pixels: its corner, or where there is no room the opposite one. */
  readonly at: { readonly xPx: number; readonly yPx: number };
  onClose(): void;
}

const MARGIN_PX = 4;

export function Menu({ label, items, at, onClose }: MenuProps) {
  const menu = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const box = elementOf(menu);
    const before = document.activeElement;
    box.style.left = `${Math.max(0, Math.min(at.xPx, window.innerWidth - box.offsetWidth - MARGIN_PX))}px`;
    box.style.top = `${Math.max(0, Math.min(at.yPx, window.innerHeight - box.offsetHeight - MARGIN_PX))}px`;
    box.querySelector('button')?.focus({ preventScroll: true });
    const press = ({ target }: PointerEvent) => {
      if (!(target instanceof Node && box.contains(target))) onClose();
    };
    window.addEventListener('pointerdown', press, { capture: true });
    return () => {
      window.removeEventListener('pointerdown', press, { capture: true });
      // What was run may have opened a dialog, which has the focus then.
      if (document.activeElement === document.body && before instanceof HTMLElement)
        before.focus({ preventScroll: true });
    };
  }, [at]);
  const step = (event: KeyboardEvent) => {
    const buttons = [...(menu.current?.querySelectorAll('button') ?? [])];
    const here = buttons.indexOf(document.activeElement as HTMLButtonElement);
    const to = { ArrowDown: here + 1, ArrowUp: here - 1, Home: 0, End: -1 }[event.key];
    if (event.key === 'Escape' || event.key === 'Tab') onClose();
    else if (to !== undefined) buttons.at(to % buttons.length)?.focus();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div ref={menu} class="menu" role="menu" tabIndex={-1} aria-label={label} onKeyDown={step}>
      {items.map((item) => (
        <button
          key={item.label}
          type="button"
          role="menuitem"
          onClick={() => {
            onClose();
            void item.run();
          }}
        >
          <span>{item.label}</span>
          {item.keys !== undefined && <kbd>{item.keys}</kbd>}
        </button>
      ))}
    </div>
  );
}
