import type { Job, Output, SheetSettings } from './schema.ts';

/** Kinds of sheet that may have a paper of their own. */
export type PaperKind = keyof NonNullable<SheetSettings['sizes']>;

/** On which paper a kind of sheet is printed: its own, or that of the install map. */
export const sheetPaper = ({ sheets, output }: Job, kind: PaperKind): Output['mapSheet'] =>
  sheets?.sizes?.[kind] ?? output.mapSheet;
