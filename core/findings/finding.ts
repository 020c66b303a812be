/**
 * What a check says: what is wrong, where, and what to do.
 *
 * ```ts
 * const found = finding('seam-narrow', 'warn', { sideId: 's1', seamId: 'g2' }, 'The overlap is 8 mm.', 'Make it 12 mm.');
 * withFigure(8, found).figure; // → 8
 * findingKey(found) === findingKey({ ...found, message: 'The overlap is 9 mm.' }); // → true
 * ```
 */
import { z } from 'zod';
import { FIRST_FILM_ID } from '../job/job-films.ts';
import { rectSchema } from '../measure/schemas.ts';

/** A stop blocks output; a warn needs an acknowledgement; a note informs. */
export const Severity = z.enum(['stop', 'warn', 'note']);
export type Severity = z.infer<typeof Severity>;

/** Where a finding is, as exactly as is known: a panel, a seam, an area of a side. */
export const Place = z.strictObject({
  sideId: z.string().exactOptional(),
  panelId: z.string().exactOptional(),
  seamId: z.string().exactOptional(),
  area: rectSchema<'finished'>().exactOptional(),
  /**
   * The item of the side that it concerns: a no-seam area, a no-film area, a body line. Or what tells this finding from
   * another of its code at the same place: an ink, a material, another panel.
   */
  itemId: z.string().exactOptional(),
  page: z.number().int().exactOptional(),
  /** The roll of film that is touched. */
  rollId: z.string().exactOptional(),
  /** The film that it is about, in a job with several and where no panel says so. */
  filmId: z.string().exactOptional(),
});
export type Place = z.infer<typeof Place>;

/** What a check says. Message and remedy are one sentence each, in the language of a prepress room. */
export const Finding = z.strictObject({
  code: z.string(),
  severity: Severity,
  where: Place,
  /** What it is about in a few words, for a line that names several alike. */
  about: z.string().exactOptional(),
  message: z.string(),
  remedy: z.string(),
  /**
   * The size of the trouble, where it has one: an overlap in mm, an error in %. An acknowledgement that
   * recorded it lapses when it changes, so that accepting 11 mm does not accept 3.
   */
  figure: z.number().exactOptional(),
});
export type Finding = z.infer<typeof Finding>;

export const finding = (
  code: string,
  severity: Severity,
  where: Place,
  message: string,
  remedy: string,
): Finding => ({ code, severity, where, message, remedy });

/** The finding with the size of its trouble. */
export const withFigure = (figure: number, of: Finding): Finding => ({ ...of, figure });

/**
 * Names a finding for its acknowledgement: the same trouble at the same place keeps its key when panels are
 * renumbered or a second film comes in, and an acknowledgement does not silence the same code elsewhere.
 */
export function findingKey(finding: Finding): string {
  const { sideId, panelId, seamId, itemId, page, rollId, filmId } = finding.where;
  const parts = [finding.code, sideId, panelId, seamId, itemId, page, rollId].map((part) => part ?? '');
  return [...parts, ...(filmId === undefined || filmId === FIRST_FILM_ID ? [] : [filmId])].join('/');
}
