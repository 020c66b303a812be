import type { ComponentChildren } from 'preact';
import { useId, useLayoutEffect, useRef } from 'preact/hooks';

interface DialogProps {
  readonly title: string;
  readonly children: ComponentChildren;
  /** As large as the window lets it be. */
  readonly isLarge?: boolean;
  onClose(): void;
}

/**
 * A modal dialog; Escape closes it and the focus returns to where it was. The focus goes to its safe button where it has
 * one, else to the first field or button.
 */
export function Dialog({ title, children, isLarge = false, onClose }: DialogProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  // At once: a key that is pressed right after the click is for the dialog.
  useLayoutEffect(() => {
    dialog.current?.showModal();
    dialog.current?.querySelector<HTMLElement>('[data-safe]')?.focus();
  }, []);
  return (
    <dialog
      ref={dialog}
      class={isLarge ? 'dialog is-large' : 'dialog'}
      aria-labelledby={id}
      onClose={onClose}
    >
      <h2 id={id}>{title}</h2>
      {children}
    </dialog>
  );
}
