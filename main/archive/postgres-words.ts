/** Words of a search in the notation of PostgreSQL's text index, which takes them unchanged. */
import { MAX_WORD_LENGTH } from './search.ts';

export const vectorOf = (words: readonly string[]): string =>
  // A search uses at most this many letters of a word's beginning.
  words.map((word) => quoted(word.slice(0, MAX_WORD_LENGTH))).join(' ');

/** Each word must match the beginning of some word of the job. */
export const queryOf = (words: readonly string[]): string =>
  words.map((word) => `${quoted(word)}:*`).join(' & ');

const quoted = (word: string): string => `'${word.replaceAll(/['\\]/g, '$&$&')}'`;
