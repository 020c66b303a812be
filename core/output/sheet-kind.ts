import { fileNameStem } from './file-name.ts';

/** Files for other programs, not drawn on paper. */
export const DATA_KINDS = ['table', 'xjdf', 'cut-contours'] as const;
export type DataKind = (typeof DATA_KINDS)[number];

/** Sheets that people can select: papers, and files for other programs. */
export const SELECTED_SHEETS = [
  'map',
  'map-lines',
  'ticket',
  'labels',
  'packing-list',
  'check-in',
  'quote',
  'proof',
  'seams',
  'table',
  'xjdf',
  'cut-contours',
] as const;
/** All sheets that leave prepress with the panels; the patch sheet comes only with a patch. */
export const SHEET_KINDS = [...SELECTED_SHEETS, 'patch'] as const;
export type SheetKind = (typeof SHEET_KINDS)[number];
export type SelectedSheet = (typeof SELECTED_SHEETS)[number];

/** Sheets that are drawn. */
export type DrawnKind = Exclude<SheetKind, DataKind>;

export const isDrawnKind = <K extends SheetKind>(kind: K): kind is Exclude<K, DataKind> =>
  !DATA_KINDS.some((each) => each === kind);
/**
 * The sheets of every output. The line version of the map and files for other programs are written on request; check-in
 * sheet, quote, customer proof and seams come before an output.
 */
export const USUAL_SHEETS: readonly SelectedSheet[] = SELECTED_SHEETS.filter(
  (kind) => !['map-lines', 'check-in', 'quote', 'proof', 'seams', 'xjdf', 'cut-contours'].includes(kind),
);
/** The sheets of a patch. */
export const PATCH_SHEETS: readonly SheetKind[] = ['patch', 'ticket', 'labels', 'table'];
/** Sheets that need no artwork. */
export const isBeforeArtwork = (kind: SheetKind): boolean => kind === 'check-in';

/** Contours have a file for each panel. */
type OneFile = Exclude<SheetKind, 'cut-contours'>;

const SHEET_FILES: Readonly<Record<OneFile, string>> = {
  map: 'map.pdf',
  'map-lines': 'map-lines.pdf',
  ticket: 'ticket.pdf',
  labels: 'labels.pdf',
  'packing-list': 'packing-list.pdf',
  'check-in': 'check-in.pdf',
  patch: 'patch.pdf',
  quote: 'quote.pdf',
  proof: 'customer-proof.pdf',
  seams: 'seams.pdf',
  table: 'panels.csv',
  xjdf: 'ticket.xjdf',
};

/** File name of a sheet in the folder of an output: `ACL-0417_map.pdf` identifies the job wherever it is copied. */
export const sheetFileName = (jobNumber: string, kind: OneFile): string =>
  `${fileNameStem(jobNumber)}_${SHEET_FILES[kind]}`;

/** Names for people. */
export const SHEET_NAMES: Readonly<Record<SheetKind, string>> = {
  map: 'Install map',
  'map-lines': 'Install map, lines only',
  ticket: 'Production ticket',
  labels: 'Panel labels',
  'packing-list': 'Packing list',
  'check-in': 'Check-in sheet',
  patch: 'Patch sheet',
  quote: 'Quote',
  proof: 'Customer proof',
  seams: 'Seams at true size',
  table: 'Panel table (CSV)',
  xjdf: 'Job ticket (XJDF)',
  'cut-contours': 'Cut contours (PDF, DXF, SVG)',
};
