/**
 * The result of a check: what is wrong, where, and what to do.
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

/** Where a finding is, as exactly as known: a panel, a seam, an area of a side. */
export const Place = z.strictObject({
  sideId: z.string().exactOptional(),
  panelId: z.string().exactOptional(),
  seamId: z.string().exactOptional(),
  area: rectSchema<'finished'>().exactOptional(),
  /**
   * The affected item of the side: a no-seam area, a no-film area, a body line. Or what distinguishes this finding from
   * another one with the same code and place: an ink, a material, another panel.
   */
  itemId: z.string().exactOptional(),
  page: z.number().int().exactOptional(),
  /** The affected roll of film. */
  rollId: z.string().exactOptional(),
  /** The affected film, in a job with several films, where no panel identifies it. */
  filmId: z.string().exactOptional(),
});
export type Place = z.infer<typeof Place>;

/** The result of a check. Message and remedy are one sentence each, in prepress terms. */
export const Finding = z.strictObject({
  code: z.string(),
  severity: Severity,
  where: Place,
  /** Its subject in a few words, for a line that names several similar findings. */
  about: z.string().exactOptional(),
  message: z.string(),
  remedy: z.string(),
  /**
   * The size of the problem, where it has one: an overlap in mm, an error in %. An acknowledgement that recorded it
   * lapses when it changes, so that accepting 11 mm does not accept 3.
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

/** The finding with the size of its problem. */
export const withFigure = (figure: number, of: Finding): Finding => ({ ...of, figure });

/**
 * A key to acknowledge a finding by. The same problem at the same place keeps its key when panels are renumbered or a
 * second film is added; an acknowledgement does not silence the same code elsewhere.
 */
export function findingKey(finding: Finding): string {
  const { sideId, panelId, seamId, itemId, page, rollId, filmId } = finding.where;
  const parts = [finding.code, sideId, panelId, seamId, itemId, page, rollId].map((part) => part ?? '');
  return [...parts, ...(filmId === undefined || filmId === FIRST_FILM_ID ? [] : [filmId])].join('/');
}
