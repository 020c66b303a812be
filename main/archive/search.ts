/** Longest search that is looked at; what a person types is shorter. */
const MAX_WORDS = 20;

/**
 * What a person typed as a full-text expression: every word must begin some word of the job, in any order.
 * Words are what the index calls words (runs of letters and digits), each quoted, so that no operator
 * of the query language can be typed by accident. Undefined where there is nothing to search for.
 */
export function searchExpression(typed: string): string | undefined {
  const words = typed
    .normalize('NFC')
    .match(/[\p{L}\p{N}\p{M}]+/gu)
    ?.slice(0, MAX_WORDS);
  return words?.map((word) => `"${word}"*`).join(' AND ');
}
