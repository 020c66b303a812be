/** Names of the messages between a window and main; the preload exposes these three and nothing else. */
export const ASK_CHANNEL = 'panelwright:ask';
export const CANCEL_CHANNEL = 'panelwright:cancel';
export const PROGRESS_CHANNEL = 'panelwright:progress';
/** From main to the window: a menu command was chosen. */
export const COMMAND_CHANNEL = 'panelwright:command';
/** Scheme of the app's own files, so that no page is ever loaded from file: or the network. */
export const SCREENS_SCHEME = 'panelwright';
export const SCREENS_ORIGIN = `${SCREENS_SCHEME}://screens`;
