/** Menus that open by a button: Escape closes them and gives the focus back, and so does a press beside them. */
const OPEN = 'details.popover[open]';

/** Called once. */
export function closePopovers(): void {
  window.addEventListener(
    'keydown',
    (event) => {
      const open = event.key === 'Escape' ? document.querySelector<HTMLDetailsElement>(OPEN) : null;
      if (!open) return;
      open.open = false;
      open.querySelector('summary')?.focus();
      // The same key puts tools down.
      event.preventDefault();
      event.stopPropagation();
    },
    { capture: true },
  );
  window.addEventListener('pointerdown', ({ target }) => {
    for (const open of document.querySelectorAll<HTMLDetailsElement>(OPEN)) {
      if (!(target instanceof Node && open.contains(target))) open.open = false;
    }
  });
}
