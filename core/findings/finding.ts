import type { Rect } from '../measure/rect.ts';

/** A stop blocks output; a warn needs an acknowledgement; a note informs. */
export type Severity = 'stop' | 'warn' | 'note';

/** Where a finding is, as exactly as is known: a panel, a seam, an area of a side. */
export interface Place {
  readonly sideId?: string;
  readonly panelId?: string;
  readonly seamId?: string;
  readonly area?: Rect<'finished'>;
  /** The item of the side that is touched: a no-seam area, a no-film area, a body line. */
  readonly itemId?: string;
  readonly page?: number;
  /** The roll of film that is touched. */
  readonly rollId?: string;
}

/** What a check says. Message and remedy are one sentence each, in the language of a prepress room. */
export interface Finding {
  readonly code: string;
  readonly severity: Severity;
  readonly where: Place;
  readonly message: string;
  readonly remedy: string;
  /**
   * The size of the trouble, where it has one: an overlap in mm, an error in %. An acknowledgement that
   * recorded it lapses when it changes, so that accepting 11 mm does not accept 3.
   */
  readonly figure?: number;
}

export const finding = (
  code: string,
  severity: Severity,
  where: Place,
  message: string,
  remedy: string,
  figure?: number,
): Finding => ({ code, severity, where, message, remedy, ...(figure === undefined ? {} : { figure }) });

/**
 * Names a finding for its acknowledgement: the same trouble at the same place keeps its key when panels are
 * renumbered, and an acknowledgement does not silence the same code elsewhere.
 */
export function findingKey(finding: Finding): string {
  const { sideId, panelId, seamId, itemId, page, rollId } = finding.where;
  return [finding.code, sideId, panelId, seamId, itemId, page, rollId].map((part) => part ?? '').join('/');
}
