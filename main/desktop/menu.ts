/** The application menu. Commands go to the screens by name; what a command does is decided there, once. */
import type { MenuItemConstructorOptions } from 'electron';

export function menuTemplate(
  platform: NodeJS.Platform,
  send: (command: string) => void,
): MenuItemConstructorOptions[] {
  const item = (label: string, command: string, accelerator?: string): MenuItemConstructorOptions => ({
    label,
    click: () => send(command),
    ...(accelerator !== undefined && { accelerator }),
  });
  const isMac = platform === 'darwin';
  return [
    ...(isMac ? [{ role: 'appMenu' as const }] : []),
    {
      label: 'Job',
      submenu: [
        item('New job', 'job-new', 'CmdOrCtrl+N'),
        item('All jobs', 'jobs-show', 'CmdOrCtrl+O'),
        { type: 'separator' },
        item('Write output', 'output-show', 'CmdOrCtrl+P'),
        { type: 'separator' },
        isMac ? { role: 'close' } : { role: 'quit' },
      ],
    },
    {
      label: 'Edit',
      submenu: [
        item('Undo', 'undo', 'CmdOrCtrl+Z'),
        item('Redo', 'redo', isMac ? 'Cmd+Shift+Z' : 'Ctrl+Y'),
        { type: 'separator' },
        { role: 'cut' },
        { role: 'copy' },
        { role: 'paste' },
      ],
    },
    {
      label: 'View',
      submenu: [
        item('Millimetres or inches', 'units-toggle'),
        item('Light or dark', 'theme-toggle'),
        { type: 'separator' },
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { role: 'resetZoom' },
        { role: 'togglefullscreen' },
      ],
    },
    { label: 'Help', submenu: [item('Keys', 'keys-show', 'F1')] },
  ];
}
