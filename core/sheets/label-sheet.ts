import type { Job } from '../job/schema.ts';
import type { Rect } from '../measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';

/**
 * Positions of labels on a sheet, from its top left:
 *
 *     ┌───────────────────────────────┐
 *     │   ↕ topMm                     │
 *     │↔ ┌────────┐   ┌────────┐      │   pitch: from the left (top) of one label
 *     │  │ width  │   │        │      │   to the left (top) of the next
 *     │  └────────┘   └────────┘      │
 *     │leftMm ◀ pitchX ▶              │
 */
export interface LabelSheet {
  /** States the geometry, so that any sheet with that geometry can be used. */
  readonly name: string;
  readonly sheetWidthMm: Mm;
  readonly sheetHeightMm: Mm;
  readonly columns: number;
  readonly rows: number;
  readonly labelWidthMm: Mm;
  readonly labelHeightMm: Mm;
  readonly leftMm: Mm;
  readonly topMm: Mm;
  readonly pitchXMm: Mm;
  readonly pitchYMm: Mm;
}

const inch = (inches: number): Mm => inches * MM_PER_INCH;

/** Geometries in common use, no source; the measurements of a shop's sheet can be entered instead. */
export const LABEL_SHEETS = {
  'a4-2x4': {
    name: 'A4, 8 labels 105 × 74 mm, edge to edge',
    sheetWidthMm: 210,
    sheetHeightMm: 297,
    columns: 2,
    rows: 4,
    labelWidthMm: 105,
    labelHeightMm: 74.25,
    leftMm: 0,
    topMm: 0,
    pitchXMm: 105,
    pitchYMm: 74.25,
  },
  'a4-2x7': {
    name: 'A4, 14 labels 99.1 × 38.1 mm',
    sheetWidthMm: 210,
    sheetHeightMm: 297,
    columns: 2,
    rows: 7,
    labelWidthMm: 99.1,
    labelHeightMm: 38.1,
    leftMm: 4.65,
    topMm: 15.15,
    pitchXMm: 101.6,
    pitchYMm: 38.1,
  },
  'letter-2x5': {
    name: 'Letter, 10 labels 4 × 2 in',
    sheetWidthMm: inch(8.5),
    sheetHeightMm: inch(11),
    columns: 2,
    rows: 5,
    labelWidthMm: inch(4),
    labelHeightMm: inch(2),
    leftMm: inch(5 / 32),
    topMm: inch(0.5),
    pitchXMm: inch(4 + 3 / 16),
    pitchYMm: inch(2),
  },
  'letter-2x3': {
    name: 'Letter, 6 labels 4 × 3 1/3 in',
    sheetWidthMm: inch(8.5),
    sheetHeightMm: inch(11),
    columns: 2,
    rows: 3,
    labelWidthMm: inch(4),
    labelHeightMm: inch(10 / 3),
    leftMm: inch(5 / 32),
    topMm: inch(0.5),
    pitchXMm: inch(4 + 3 / 16),
    pitchYMm: inch(10 / 3),
  },
} as const satisfies Readonly<Record<string, LabelSheet>>;

export const labelsPerSheet = ({ columns, rows }: LabelSheet): number => columns * rows;

/** The place of a label on its sheet, row by row from 0. */
export function labelRect(sheet: LabelSheet, index: number): Rect {
  return {
    x: sheet.leftMm + (index % sheet.columns) * sheet.pitchXMm,
    y: sheet.topMm + Math.floor(index / sheet.columns) * sheet.pitchYMm,
    width: sheet.labelWidthMm,
    height: sheet.labelHeightMm,
  };
}

/** Label sheets have the size of the job's other paper. */
export function labelSheetOf({ output: { mapSheet }, sheets }: Pick<Job, 'output' | 'sheets'>): LabelSheet {
  if (sheets?.labels) return { ...sheets.labels, name: 'labels of the shop' };
  return mapSheet === 'Letter' || mapSheet === 'Tabloid'
    ? LABEL_SHEETS['letter-2x5']
    : LABEL_SHEETS['a4-2x4'];
}
