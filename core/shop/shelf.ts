/** Films and laminates as the shop enters them from their data sheets. */
import { z } from 'zod';

const name = z.string().min(1).max(200);
const text = z.string().max(10_000);
const celsius = z.number().min(-50).max(300);

export const FILM_KINDS = ['cast', 'calendered-polymeric', 'calendered-monomeric'] as const;
export const FilmKind = z.enum(FILM_KINDS);
export type FilmKind = z.infer<typeof FilmKind>;

/** What people call the kinds. */
export const FILM_KIND_NAMES: Readonly<Record<FilmKind, string>> = {
  cast: 'cast',
  'calendered-polymeric': 'polymeric calendered',
  'calendered-monomeric': 'monomeric calendered',
};

export const FILM_BASES = ['white', 'clear', 'colored'] as const;
/** What a film is before it is printed. */
export const FilmBase = z.enum(FILM_BASES);
export type FilmBase = z.infer<typeof FilmBase>;

export const Heat = z.strictObject({
  /** Film temperature for forming into recesses and over curves. */
  formFromC: celsius,
  formToC: celsius,
  /** Film temperature that sets the formed film afterwards. */
  setC: celsius,
});
export type Heat = z.infer<typeof Heat>;

const material = {
  id: z.string().min(1).max(200),
  name,
  kind: FilmKind,
  /** Gloss, satin, matt … as the shop and its customers call it. */
  finish: text,
  thicknessUm: z.number().positive().max(5000),
  /** Type of adhesive, such as 'solvent acrylic'; empty where the shop has not entered it. */
  adhesive: text,
  serviceYears: z.number().positive().max(50),
  /** True width and full length of a roll. */
  widthMm: z.number().positive().max(10_000),
  lengthMm: z.number().positive().max(1_000_000),
  pricePerM2: z.number().nonnegative().max(1_000_000),
  lotNumber: text,
};

export const ShelfFilm = z.strictObject({
  ...material,
  use: z.literal('film'),
  /** Absent: white. */
  base: FilmBase.optional(),
  /** With holes to look through, for glass. */
  perforated: z.literal(true).optional(),
  /** Most stretch when installed: how much longer than unstretched any part may become, in percent. */
  stretchLimitPercent: z.number().nonnegative().max(300),
  heat: Heat.optional(),
});
export type ShelfFilm = z.infer<typeof ShelfFilm>;

export const ShelfLaminate = z.strictObject({
  ...material,
  use: z.literal('laminate'),
  /** Made to be looked through, as film on glass needs it. */
  opticallyClear: z.literal(true).optional(),
});
export type ShelfLaminate = z.infer<typeof ShelfLaminate>;

export const ShelfItem = z.discriminatedUnion('use', [ShelfFilm, ShelfLaminate]);
export type ShelfItem = z.infer<typeof ShelfItem>;
