/**
 * Units as types. `Mm` and `Pt` are numbers that remember their unit: a plain number is accepted as either, but a value
 * already known as points cannot be passed where millimeters are expected.
 */
declare const unit: unique symbol;
type Unit<Name extends string> = number & { readonly [unit]?: Name };

/** Millimeters: every length in the program, at finished or drawn size, unless its name says otherwise. */
export type Mm = Unit<'mm'>;
/** PDF default user space units of 1/72 in. Only core/pdf and core/sheets deal in them. */
export type Pt = Unit<'pt'>;

/** Exact by definition: the international inch, 1959. */
export const MM_PER_INCH = 25.4;
export const MM_PER_FOOT = 12 * MM_PER_INCH;
/** ISO 32000-1, 8.3.2.3: a default user space unit is 1/72 in. */
export const PT_PER_INCH = 72;
export const MM_PER_PT = MM_PER_INCH / PT_PER_INCH;

export const ptFromMm = (mm: Mm): Pt => mm / MM_PER_PT;

/** Lengths that differ by less than this are the same length: a hundredth of a hair, far under any plotter's step. */
export const LENGTH_TOLERANCE_MM: Mm = 1e-6;
