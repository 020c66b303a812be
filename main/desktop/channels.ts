/** Names of the messages between a window and main; the preload passes on these and nothing else. */
export const ASK_CHANNEL = 'panelwright:ask';
export const CANCEL_CHANNEL = 'panelwright:cancel';
export const PROGRESS_CHANNEL = 'panelwright:progress';
/** From main to the window, unasked and numbered: see core/contract/screen-message.ts. */
export const MESSAGE_CHANNEL = 'panelwright:message';
/** From the window: the message of that number was dealt with. Number 0 says that the window listens from now on. */
export const DONE_CHANNEL = 'panelwright:done';
/** Scheme of the app's own files, so that no page is ever loaded from file: or the network. */
export const SCREENS_SCHEME = 'panelwright';
export const SCREENS_ORIGIN = `${SCREENS_SCHEME}://screens`;
