/**
 * A command is an object: its name, its keys, when it applies, what it does. Toolbar, menu, keyboard and the
 * sheet of keys read the same list, so that none can drift from another.
 */
export interface Command {
  /** Stable name; the application menu sends it. */
  readonly id: string;
  /** Verb first, for buttons and the sheet of keys. */
  readonly label: string;
  readonly group: 'Program' | 'Job' | 'Seams' | 'View';
  /** Keys in the order Ctrl, Alt, Shift, key: `Ctrl+Shift+Z`, `ArrowLeft`. Ctrl stands for Cmd on a Mac. */
  readonly keys?: readonly string[];
  isEnabled(): boolean;
  run(): void | Promise<void>;
}

const isMac = /Mac/.test(navigator.platform);

/** `Ctrl+Z` of a key event, in the notation of `keys`. */
export function keysOfEvent(event: KeyboardEvent): string {
  const control = isMac ? event.metaKey : event.ctrlKey;
  const key = event.key.length === 1 ? event.key.toUpperCase() : event.key;
  return [control && 'Ctrl', event.altKey && 'Alt', event.shiftKey && 'Shift', key === ' ' ? 'Space' : key]
    .filter((part) => part !== false)
    .join('+');
}

/** As it stands on the keyboard at hand. */
export function keysShown(keys: string): string {
  return isMac ? keys.replace('Ctrl', '⌘').replace('Alt', '⌥').replace('Shift', '⇧') : keys;
}

/** Typing in a field is not a command, except with Ctrl held. */
function isTyping(event: KeyboardEvent): boolean {
  const target = event.target;
  return (
    target instanceof HTMLElement &&
    (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName)) &&
    !(isMac ? event.metaKey : event.ctrlKey)
  );
}

/** Listens for the keys of all commands; called once. */
export function commandKeysFollowed(commands: () => readonly Command[]): void {
  window.addEventListener('keydown', (event) => {
    if (event.defaultPrevented || isTyping(event)) return;
    const pressed = keysOfEvent(event);
    const command = commands().find(({ keys }) => keys?.includes(pressed));
    if (!command?.isEnabled()) return;
    event.preventDefault();
    void command.run();
  });
}
