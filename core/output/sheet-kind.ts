import { fileNameStem } from './file-name.ts';

/** The papers that leave prepress with the panels; the table is for other programs. */
export const SHEET_KINDS = [
  'map',
  'map-lines',
  'ticket',
  'labels',
  'packing-list',
  'check-in',
  'table',
] as const;
export type SheetKind = (typeof SHEET_KINDS)[number];

/** Sheets that are drawn; the table is written from the manifest instead. */
export type DrawnKind = Exclude<SheetKind, 'table'>;

export const isDrawnKind = (kind: SheetKind): kind is DrawnKind => kind !== 'table';
/** What every output gets: the map in lines is for those who ask for it, and the check-in sheet comes before an output. */
export const USUAL_SHEETS: readonly SheetKind[] = SHEET_KINDS.filter(
  (kind) => kind !== 'map-lines' && kind !== 'check-in',
);
/** Sheets that need no artwork. */
export const isBeforeArtwork = (kind: SheetKind): boolean => kind === 'check-in';

const SHEET_FILES: Readonly<Record<SheetKind, string>> = {
  map: 'map.pdf',
  'map-lines': 'map-lines.pdf',
  ticket: 'ticket.pdf',
  labels: 'labels.pdf',
  'packing-list': 'packing-list.pdf',
  'check-in': 'check-in.pdf',
  table: 'panels.csv',
};

/** Name of a sheet's file in the folder of an output: `ACL-0417_map.pdf` says whose it is wherever it is copied to. */
export const sheetFileName = (jobNumber: string, kind: SheetKind): string =>
  `${fileNameStem(jobNumber)}_${SHEET_FILES[kind]}`;

/** What people call them. */
export const SHEET_NAMES: Readonly<Record<SheetKind, string>> = {
  map: 'Install map',
  'map-lines': 'Install map, lines only',
  ticket: 'Production ticket',
  labels: 'Panel labels',
  'packing-list': 'Packing list',
  'check-in': 'Check-in sheet',
  table: 'Panel table (CSV)',
};
