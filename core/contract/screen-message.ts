/** Messages that main sends to the screens by itself, where they have a desktop window. */
import { z } from 'zod';
import { Chosen } from './parts.ts';

/**
 * The commands that the application menu offers, each with its keys in the order Ctrl, Alt, Shift, key. The screens
 * bind all of them; the menu shows one, on a Mac the last one, with Cmd instead of Ctrl.
 */
export const MENU_KEYS = {
  'job-new': ['Ctrl+N'],
  'job-import': [],
  'jobs-show': ['Ctrl+O'],
  'recent-show': ['Ctrl+Shift+O'],
  'job-close': [],
  'output-show': ['Ctrl+P'],
  undo: ['Ctrl+Z'],
  redo: ['Ctrl+Y', 'Ctrl+Shift+Z'],
  'seams-all': ['Ctrl+A'],
  'units-toggle': ['Ctrl+U'],
  'theme-toggle': [],
  'zoom-in': ['Ctrl++'],
  'zoom-out': ['Ctrl+-'],
  'zoom-fit': ['Ctrl+0'],
  'interface-larger': ['Ctrl+Alt++'],
  'interface-smaller': ['Ctrl+Alt+-'],
  'archive-back-up': [],
  'archive-check': [],
  'archive-clean': [],
  'help-show': ['F1'],
  'first-steps-show': [],
  'glossary-show': [],
  'about-show': [],
  'keys-show': ['Shift+F1'],
} as const satisfies Readonly<Record<string, readonly string[]>>;
export type MenuCommand = keyof typeof MENU_KEYS;

const MenuCommand = z.enum(Object.keys(MENU_KEYS) as MenuCommand[]);

export const ScreenMessage = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('command'), command: MenuCommand }),
  /** The user opened a job file on the desktop: import and show the job. */
  z.strictObject({ kind: z.literal('job-file'), file: Chosen }),
  /** The window is about to close: save unsaved work. */
  z.strictObject({ kind: z.literal('save-now') }),
  z.strictObject({ kind: z.literal('notice'), message: z.string(), remedy: z.string() }),
]);
export type ScreenMessage = z.infer<typeof ScreenMessage>;
