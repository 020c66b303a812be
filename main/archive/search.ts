/** Turns the text that a person types to find jobs into words of the index. */
import type Database from 'better-sqlite3';

/** More words of a search are ignored; people type fewer. */
const MAX_WORDS = 20;
export const MAX_WORD_LENGTH = 100;

/**
 * Splits text into words as the index of jobs does (`job_words` in schema.ts, with its tokenizer). The index uses an
 * older Unicode than JavaScript, so only the index itself can say where a word ends. It takes two of its words in one
 * term as a phrase, and it cannot search for phrases.
 */
export class SearchWords {
  readonly #db: Database.Database;

  constructor(db: Database.Database) {
    this.#db = db;
    db.exec(`
      CREATE VIRTUAL TABLE temp.typed USING fts5 (
        words, detail = none, tokenize = "unicode61 remove_diacritics 2"
      );
      CREATE VIRTUAL TABLE temp.typed_words USING fts5vocab (temp, typed, row);
    `);
  }

  /**
   * A full-text expression: each word must match the beginning of some word of the job, in any order. Each is quoted,
   * so that no operator of the query language can be typed by accident. Undefined where there is nothing to search for.
   */
  expression(typed: string): string | undefined {
    const words = this.typedWords(typed);
    return words.length === 0 ? undefined : words.map((word) => `"${word}"*`).join(' AND ');
  }

  /** The typed text, split into words of the index. */
  typedWords(typed: string): string[] {
    const words = typed
      .normalize('NFC')
      .match(/[\p{L}\p{N}\p{M}]+/gu)
      ?.slice(0, MAX_WORDS)
      .map((word) => word.slice(0, MAX_WORD_LENGTH));
    return words ? this.wordsOf(words.join(' ')) : [];
  }

  /** The words of a text as the index stores them, each once. */
  wordsOf(text: string): string[] {
    this.#db.exec('DELETE FROM temp.typed');
    this.#db.prepare('INSERT INTO temp.typed (words) VALUES (?)').run(text);
    return this.#db.prepare<[], string>('SELECT term FROM temp.typed_words').pluck().all();
  }
}
