import type { ComponentChildren } from 'preact';

interface ButtonProps {
  readonly children: ComponentChildren;
  /** Not needed where the button submits its form. */
  onClick?(button: HTMLButtonElement): void | Promise<void>;
  readonly isSubmit?: boolean;
  readonly isPrimary?: boolean;
  readonly isDisabled?: boolean;
  /** For a button that stays down: a tool that is in hand, a switch that is on. */
  readonly isPressed?: boolean;
  /** In a dialog: has the focus when that opens, so that Enter undoes nothing. */
  readonly isSafe?: boolean;
  /** Shown on hover and read out; the keys, say. */
  readonly title?: string;
  /** Read out in place of what it shows, where that is only a sign. */
  readonly spoken?: string;
  /** It opens a menu. */
  readonly hasMenu?: boolean;
}

export function Button({
  children,
  onClick,
  isPrimary,
  isDisabled,
  isPressed,
  isSubmit,
  isSafe,
  title,
  spoken,
  hasMenu,
}: ButtonProps) {
  return (
    <button
      type={isSubmit ? 'submit' : 'button'}
      class={isPrimary ? 'button primary' : 'button'}
      disabled={isDisabled ?? false}
      {...(isPressed !== undefined && { 'aria-pressed': isPressed })}
      {...(isSafe && { 'data-safe': true })}
      {...(title !== undefined && { title })}
      {...(spoken !== undefined && { 'aria-label': spoken })}
      {...(hasMenu && { 'aria-haspopup': 'menu' as const })}
      onClick={(event) => void onClick?.(event.currentTarget)}
    >
      {children}
    </button>
  );
}
