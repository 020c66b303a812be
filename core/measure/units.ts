/**
 * Units as types. `Mm` and `Pt` are numbers with a unit: a plain number is accepted as either, but points cannot be
 * passed where millimeters are expected.
 */
declare const unit: unique symbol;
type Unit<Name extends string> = number & { readonly [unit]?: Name };

/** Millimeters: every length in the program, at finished or drawn size, unless its name says otherwise. */
export type Mm = Unit<'mm'>;
/** PDF default user space units of 1/72 in, used only in core/pdf and core/sheets. */
export type Pt = Unit<'pt'>;

/** Exact by definition: the international inch, 1959. */
export const MM_PER_INCH = 25.4;
export const MM_PER_FOOT = 12 * MM_PER_INCH;
/** ISO 32000-1, 8.3.2.3: a default user space unit is 1/72 in. */
export const PT_PER_INCH = 72;
export const MM_PER_PT = MM_PER_INCH / PT_PER_INCH;

export const ptFromMm = (mm: Mm): Pt => mm / MM_PER_PT;

/** Lengths that differ by less than this are equal: a hundredth of a hair, far below any plotter's step. */
export const LENGTH_TOLERANCE_MM: Mm = 1e-6;
