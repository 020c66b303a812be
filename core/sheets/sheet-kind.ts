import { z } from 'zod';

/** The papers that leave prepress with the panels; the table is for other programs. */
export const SHEET_KINDS = ['map', 'ticket', 'labels', 'packing-list', 'table'] as const;
export const SheetKind = z.enum(SHEET_KINDS);
export type SheetKind = z.infer<typeof SheetKind>;

/** Name of each file in the output folder. */
export const SHEET_FILES: Readonly<Record<SheetKind, string>> = {
  map: 'map.pdf',
  ticket: 'ticket.pdf',
  labels: 'labels.pdf',
  'packing-list': 'packing-list.pdf',
  table: 'panels.csv',
};

/** What people call them. */
export const SHEET_NAMES: Readonly<Record<SheetKind, string>> = {
  map: 'Install map',
  ticket: 'Production ticket',
  labels: 'Panel labels',
  'packing-list': 'Packing list',
  table: 'Panel table (CSV)',
};
