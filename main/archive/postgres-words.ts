/** Words of a search in the notation of PostgreSQL's text index, which takes them as they are. */
import { MAX_WORD_LENGTH } from './search.ts';

export const vectorOf = (words: readonly string[]): string =>
  // A search asks for no longer beginning of a word.
  words.map((word) => quoted(word.slice(0, MAX_WORD_LENGTH))).join(' ');

/** Every word must begin some word of the job. */
export const queryOf = (words: readonly string[]): string =>
  words.map((word) => `${quoted(word)}:*`).join(' & ');

const quoted = (word: string): string => `'${word.replaceAll(/['\\]/g, '$&$&')}'`;
