/**
 * Lettering on a side, and what it says that must stay readable.
 *
 * ```ts
 * letteringMeaning({ text: 'CALL 555 010 4477' }); // → 'phone-number'
 * letteringMeaning({ text: 'USDOT 1234567' }); // → 'legal-marking'
 * letteringMeaning({ text: 'Read more' }); // → undefined
 * ```
 */
import { z } from 'zod';
import { listSchema, mmSchema, rectSchema } from '../measure/schemas.ts';

/**
 * A line of lettering on a side, as it was found in the artwork.
 *
 *     ┌ rect ─────────────────────────────┐
 *     │ ┌ word ──────┐   ┌ word ────────┐ │   between two words a seam cuts no letter
 *     │ │ CALL       │   │ 555 010 4477 │ │
 *     └───────────────────────────────────┘
 */
export const Lettering = z.strictObject({
  /** The same artwork gives the same ids: acknowledgements name them. */
  id: z.string(),
  rect: rectSchema<'finished'>(),
  words: listSchema(rectSchema<'finished'>()),
  /** Height of its capitals, finished. */
  capHeightMm: mmSchema,
  /** The letters, where they are live text. Shapes that look like letters are not read. */
  text: z.string().exactOptional(),
  /** False for shapes that may be something else: a seam through them is noted and never warns. */
  isSure: z.boolean(),
  /** Upright strokes of its letters, where the rendering shows them. */
  strokes: listSchema(rectSchema<'finished'>()),
});
export type Lettering = z.infer<typeof Lettering>;

/** Text with a meaning that a shifted seam must not spoil. */
export type LetteringMeaning = 'phone-number' | 'web-address' | 'legal-marking';

/** A number with seven digits or more, and the ways of writing one in letters after a prefix. */
const PHONE = /\+?\d(?:[\s().\-–/·]{0,3}\d){6,14}/g;
/** Two years, and days as people write them. */
const DATES =
  /^(?:(?:1[5-9]|20)\d\d\s*[-–/]\s*(?:1[5-9]|20)\d\d|\d{1,2}[./-]\d{1,2}[./-]\d{2,4}|\d{4}-\d\d-\d\d)$/;
const PHONE_WORD =
  /(?:^|[^\w])1?[\s.\-–]?\(?8\d\d\)?[\s.\-–][A-Z0-9]{2,}(?:[\s.\-–]?[A-Z0-9]{2,})?(?:$|[^\w])/;
/** Digits and dots alone make no address, and neither does an abbreviation such as “e.g.” */
const WEB =
  /https?:\/\/|\bwww\.|[\p{L}\d_-]@[\p{L}\d-]+\.|[\p{L}\d-]{2,}\.(?:com|org|net|info|biz|gov|edu|app|shop|store|online|site|dev|io|co|us|ca|uk|au|nz|ie|de|at|ch|fr|it|es|pt|nl|be|lu|dk|se|no|fi|pl|cz|eu|jp|mx|br)(?![\p{L}\d-])/iu;
/** Markings that a law or a permit asks for, by the words that introduce them. 49 CFR 390.21 for the first. */
const LEGAL =
  /\bUS\s?DOT\b|\bDOT\s*(?:#|no\.?|number)?\s*\d{4,}|\bMC\s*[-#]?\s*\d{4,}|\bKYU\b|\bGVWR?\b|\bVIN\b|\boperated by\b|\blicen[cs]e\s*(?:#|no\b|number)|\bpermit\s*(?:#|no\b|number)|\b(?:tare|payload|unladen|gross weight)\b/i;

/** What the letters say that must stay readable; undefined where they say nothing of the kind, or are not known. */
export function letteringMeaning({ text }: Pick<Lettering, 'text'>): LetteringMeaning | undefined {
  if (text === undefined) return undefined;
  if (LEGAL.test(text)) return 'legal-marking';
  if (WEB.test(text)) return 'web-address';
  const numbers = text.match(PHONE) ?? [];
  const isPhone = numbers.some((number) => !DATES.test(number.trim())) || PHONE_WORD.test(text);
  return isPhone ? 'phone-number' : undefined;
}
