/**
 * A word on the pages and in the title of a document that can be changed after the document is written. The file holds
 * a drawing of each possible word, and a few bytes, the same number for every word, select the one to show. So the word
 * can be changed without redrawing, fonts or a PDF engine.
 */
import { DOCUMENT_MARK } from './document-mark.ts';
import type { Drawing } from './drawing.ts';

export interface DocumentStamp {
  /** Possible words: at most ten, drawn in one size. */
  readonly looks: readonly StampLook[];
  readonly word: string;
}

export interface StampLook {
  readonly word: string;
  readonly drawing: Drawing;
  /** Drawing across a page; absent: none. */
  readonly across?: Drawing;
}

/** Resource name of a word's drawing, for the form that shows it. */
export const stampLookName = (index: number): string => `Word${index}`;

/** Content of the two forms that show a word. Their streams are uncompressed, and the first in the file. */
export const stampOperators = (index: number): string => `/${stampLookName(index)} Do`;

/** Digits of a hexadecimal string padded with spaces (ISO 32000-1, 7.3.4.3) to the length of the longest word. */
export function stampedTitleDigits(title: string, word: string, words: readonly string[]): string {
  const longest = Math.max(...words.map(({ length }) => length));
  return `FEFF${utf16Digits(`${title} ${word}`)}`.padEnd(4 + 4 * (title.length + 1 + longest));
}

/** Each word makes a different document: the last digit before the mark identifies the word. */
export const stampedIdentifier = (identifier: string, index: number): string =>
  `${identifier.slice(0, -DOCUMENT_MARK.length - 1)}${index}${DOCUMENT_MARK}`;

/** A form for the words in their boxes, and one for the words across a page. */
const STAMP_FORMS = 2;
const HEAD_BYTES = 1 << 16;
const TAIL_BYTES = 1 << 10;
const SHOWN = /(?<=stream\s+)\/Word(\d) Do/g;
const TITLE = /(?<=\/Title <)FEFF[0-9A-F]+ *(?=>)/;
const IDENTIFIER = new RegExp(`(?<=<)[0-9A-Fa-f]+${DOCUMENT_MARK}(?=>)`, 'g');

/** The document with another of its words, which are given in order; undefined where it has no such stamp. */
export function documentStamped(
  bytes: Uint8Array,
  words: readonly string[],
  word: string,
): Uint8Array | undefined {
  const head = latin1(bytes.subarray(0, HEAD_BYTES));
  const tailAt = Math.max(0, bytes.length - TAIL_BYTES);
  const shown = [...head.matchAll(SHOWN)].slice(0, STAMP_FORMS);
  const title = TITLE.exec(head);
  const before = utf16Digits(` ${words[Number(shown[0]?.[1])] ?? ''}`);
  if (shown.length < STAMP_FORMS || !title?.[0].trimEnd().endsWith(before)) return undefined;
  const index = words.indexOf(word);
  const stamped = bytes.slice();
  const put = (at: number, text: string) => {
    for (let i = 0; i < text.length; i += 1) stamped[at + i] = text.charCodeAt(i);
  };
  for (const { index: at } of shown) put(at, stampOperators(index));
  const plain = title[0].trimEnd().slice(0, -before.length);
  put(title.index, `${plain}${utf16Digits(` ${word}`)}`.padEnd(title[0].length));
  for (const { index: at, 0: identifier } of latin1(bytes.subarray(tailAt)).matchAll(IDENTIFIER))
    put(tailAt + at, stampedIdentifier(identifier, index));
  return stamped;
}

const utf16Digits = (text: string): string =>
  Array.from({ length: text.length }, (_, i) =>
    text.charCodeAt(i).toString(16).padStart(4, '0').toUpperCase(),
  ).join('');

function latin1(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}
