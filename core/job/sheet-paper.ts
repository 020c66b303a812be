import type { Job, Output, SheetSettings } from './schema.ts';

/** Kinds of sheet that may have a separate paper size. */
export type PaperKind = keyof NonNullable<SheetSettings['sizes']>;

/** Paper of a kind of sheet: its setting, or that of the install map. */
export const sheetPaper = ({ sheets, output }: Job, kind: PaperKind): Output['mapSheet'] =>
  sheets?.sizes?.[kind] ?? output.mapSheet;
