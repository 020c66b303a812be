/**
 * A command is an object: its name, its keys, when it applies, what it does. Toolbar, menu, keyboard and the shortcuts
 * list all use the same list of commands, so that they agree.
 */
import type { MenuCommand } from '../../core/contract/screen-message.ts';

/** In the order of the sheet of keys. */
export const COMMAND_GROUPS = ['Program', 'Job', 'Tools', 'Seams', 'View'] as const;
export type CommandGroup = (typeof COMMAND_GROUPS)[number];

export interface Command {
  /** Stable name; the application menu sends it. */
  readonly id: string;
  /** Verb first, for buttons and the sheet of keys. */
  readonly label: string;
  readonly group: CommandGroup;
  /** Keys in the order Ctrl, Alt, Shift, key: `Ctrl+Shift+Z`, `ArrowLeft`. Ctrl stands for Cmd on a Mac. */
  readonly keys?: readonly string[];
  /** Works while the focus is in a text field, too; a text field has its own Ctrl+Z. */
  readonly isWhileTyping?: true;
  isEnabled(): boolean;
  run(): void | Promise<void>;
}

const isMac = /Mac/.test(navigator.platform);

/** `Ctrl+Z` of a key event, in the notation of `keys`. */
export function keysOfEvent(event: KeyboardEvent): string {
  const control = isMac ? event.metaKey : event.ctrlKey;
  const key = event.key.length === 1 ? event.key.toUpperCase() : event.key;
  // A sign such as + implies Shift already, and its key differs from country to country.
  const isSign = event.key.length === 1 && !/[a-z]/i.test(event.key);
  return [
    control && 'Ctrl',
    event.altKey && 'Alt',
    event.shiftKey && !isSign && 'Shift',
    key === ' ' ? 'Space' : key,
  ]
    .filter((part) => part !== false)
    .join('+');
}

/** Keys as this machine's keyboard names them. */
export function keysShown(keys: string): string {
  return isMac ? keys.replace('Ctrl', '⌘').replace('Alt', '⌥').replace('Shift', '⇧') : keys;
}

/** Inputs that take no text: keys pressed on them may be commands. */
const NOT_TYPED_IN = /^(checkbox|radio|button|submit|reset|file|range)$/;

function isTypedIn(focus: EventTarget | null): boolean {
  if (!(focus instanceof HTMLElement)) return false;
  if (focus instanceof HTMLInputElement) return !NOT_TYPED_IN.test(focus.type);
  return focus.isContentEditable || /^(TEXTAREA|SELECT)$/.test(focus.tagName);
}

/** While a dialog is open, keys belong to it. */
const isDialogOpen = (): boolean => document.querySelector('dialog[open]') !== null;

let registered: readonly Command[] = [];

/** All commands, in the order of the shortcuts list. Other modules register them; this one knows none by name. */
export const allCommands = (): readonly Command[] => registered;

const isHeard = (command: Command, focus: EventTarget | null): boolean =>
  !isDialogOpen() && command.isEnabled() && (command.isWhileTyping === true || !isTypedIn(focus));

export const commandById = (id: string): Command | undefined =>
  registered.find((command) => command.id === id);

/** Makes the commands known and listens for their keys; called once. */
export function startCommands(commands: readonly Command[]): void {
  registered = commands;
  window.addEventListener('keydown', (event) => {
    if (event.defaultPrevented) return;
    const pressed = keysOfEvent(event);
    const command = registered.find(({ keys, isEnabled }) => keys?.includes(pressed) && isEnabled());
    if (!command || !isHeard(command, event.target)) return;
    event.preventDefault();
    void command.run();
  });
}

/** What a text field does by itself at the keys of a command, in a dialog too. */
const EDITS_OF_FIELDS: Partial<Record<MenuCommand, string>> = {
  undo: 'undo',
  redo: 'redo',
  'seams-all': 'selectAll',
};

/** Does what the keys of the command would do now. */
export function runFromMenu(id: MenuCommand): void {
  const command = commandById(id);
  if (!command) throw new Error(`The menu has a command that the screens lack: ${id}`);
  const focus = document.activeElement;
  const edit = EDITS_OF_FIELDS[id];
  if (edit !== undefined && isTypedIn(focus)) document.execCommand(edit);
  else if (isHeard(command, focus)) void command.run();
}
