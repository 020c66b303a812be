import { MM_PER_INCH, type Mm } from '../../core/measure/units.ts';

/** Whole steps that seams are drawn to. */
export const WHOLE_UNIT_MM: Readonly<Record<'mm' | 'in', Mm>> = { mm: 10, in: MM_PER_INCH };
/** Steps that areas and body lines are drawn in. */
export const AREA_STEP_MM: Readonly<Record<'mm' | 'in', Mm>> = { mm: 5, in: MM_PER_INCH / 4 };
/** What one press of an arrow key moves. */
export const NUDGE_MM: Readonly<Record<'mm' | 'in', Mm>> = { mm: 1, in: MM_PER_INCH / 16 };
/** With Shift held. */
export const NUDGE_FAST = 10;
/** How near a target must be to draw a seam. */
export const SNAP_REACH_PX = 9;
/** How near the pointer must be to grab a line. */
export const HOLD_REACH_PX = 7;

export const stepped = (mm: Mm, stepMm: Mm): Mm => Math.round(mm / stepMm) * stepMm;
