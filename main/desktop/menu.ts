/**
 * The application menu. Commands go to the screens by name: what a command does, and what it means in a text field
 * or a dialog is open, is decided there, once for menu and keys.
 */
import type { MenuItemConstructorOptions } from 'electron';
import { MENU_KEYS, type MenuCommand } from '../../core/contract/screen-message.ts';

export interface MenuActs {
  send(command: MenuCommand): void;
  openLogFolder(): void;
  restoreBackup(): void;
}

export function menuTemplate(platform: NodeJS.Platform, acts: MenuActs): MenuItemConstructorOptions[] {
  const isMac = platform === 'darwin';
  const item = (label: string, command: MenuCommand): MenuItemConstructorOptions => {
    const keys: readonly string[] = MENU_KEYS[command];
    const shown = isMac ? keys.at(-1) : keys[0];
    return {
      label,
      click: () => acts.send(command),
      // Where the system gives keys to the menu first, only the screens may handle them, or a command would run twice.
      ...(shown !== undefined && { accelerator: acceleratorOf(shown), registerAccelerator: isMac }),
    };
  };
  return [
    ...(isMac ? [{ role: 'appMenu' as const }] : []),
    {
      label: 'Job',
      submenu: [
        item('New job', 'job-new'),
        item('All jobs', 'jobs-show'),
        item('Recent jobs…', 'recent-show'),
        item('Import a job file…', 'job-import'),
        { type: 'separator' },
        item('Output', 'output-show'),
        item('Close the job', 'job-close'),
        { type: 'separator' },
        isMac ? { role: 'close' } : { role: 'quit' },
      ],
    },
    {
      label: 'Edit',
      submenu: [
        item('Undo', 'undo'),
        item('Redo', 'redo'),
        { type: 'separator' },
        { role: 'cut' },
        { role: 'copy' },
        { role: 'paste' },
        item('Select all', 'seams-all'),
      ],
    },
    {
      label: 'View',
      submenu: [
        item('Millimeters or inches', 'units-toggle'),
        item('Light or dark', 'theme-toggle'),
        { type: 'separator' },
        item('Zoom in', 'zoom-in'),
        item('Zoom out', 'zoom-out'),
        item('Whole side', 'zoom-fit'),
        { type: 'separator' },
        item('Make everything larger', 'interface-larger'),
        item('Make everything smaller', 'interface-smaller'),
        { role: 'togglefullscreen' },
      ],
    },
    {
      label: 'Archive',
      submenu: [
        item('Back up…', 'archive-back-up'),
        item('Check', 'archive-check'),
        item('Clean the vault…', 'archive-clean'),
        { type: 'separator' },
        { label: 'Restore a backup…', click: acts.restoreBackup },
      ],
    },
    { role: 'windowMenu' },
    {
      role: 'help',
      submenu: [
        item('Help for this screen', 'help-show'),
        item('Shortcuts', 'keys-show'),
        item('First steps', 'first-steps-show'),
        item('Glossary', 'glossary-show'),
        { type: 'separator' },
        { label: 'Open the log folder', click: acts.openLogFolder },
        item('Version, what is new, licenses', 'about-show'),
      ],
    },
  ];
}

/** Keys as the screens write them, in Electron's words. */
const acceleratorOf = (keys: string): string => keys.replace('Ctrl', 'CmdOrCtrl').replace(/\+\+$/, '+Plus');
