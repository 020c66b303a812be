/** Finds phone numbers, web and mail addresses in lettering, and where the sides of one vehicle disagree about them. */

import { plainDashes } from './plain-dashes.ts';

export type ContactKind = 'phone' | 'web' | 'mail';

export interface Contact {
  readonly kind: ContactKind;
  /** The text as written. */
  readonly text: string;
  /** A normalized form, equal for all ways of writing it. */
  readonly key: string;
}

/** Letters of a telephone keypad, ITU-T E.161: ABC on 2 to WXYZ on 9. */
const KEYPAD = ['ABC', 'DEF', 'GHI', 'JKL', 'MNO', 'PQRS', 'TUV', 'WXYZ'] as const;

export const keypadDigits = (text: string): string =>
  text
    .toUpperCase()
    .replaceAll(/[A-Z]/g, (letter) => String(KEYPAD.findIndex((key) => key.includes(letter)) + 2));

const MAIL = /[\w.+-]+@[\w-]+(?:\.[\w-]+)+/g;
const WEB = /(?:https?:\/\/)?(?:[a-z0-9](?:[a-z0-9-]*[a-z0-9])?\.)+[a-z]{2,24}(?:\/[^\s,;]*)?/gi;
const PHONE = /\+?\(?\d[\d\s().\-/\u00a0]{5,}\d/g;
/** `1-800-LIBRARY`, `800.GO.ALDER`. */
const PHONE_WORDS = /(?<![\w.])(?:1[-.\s])?\(?8\d\d\)?[-.\s][A-Z0-9][A-Z0-9-.]{5,}[A-Z0-9]/g;
const YEARS = /^(?:19|20)\d\d\s?[-/]\s?(?:19|20)\d\d$/;
const HOURS = /^\d{1,2}[.:]\d\d\s?-\s?\d{1,2}[.:]\d\d$/;
/** E.164 allows at most 15 digits; a local number has seven. */
const [LEAST_DIGITS, MOST_DIGITS] = [7, 15];

/** All contacts in one line of lettering. */
export function contactsIn(lettered: string): readonly Contact[] {
  const line = plainDashes(lettered);
  const mails = [...line.matchAll(MAIL)].map(([text]) => text);
  const rest = line.replaceAll(MAIL, ' ');
  return [
    ...mails.map((text): Contact => ({ kind: 'mail', text, key: text.toLowerCase() })),
    ...[...rest.matchAll(WEB)].flatMap(([text]) => webContact(text)),
    ...[...rest.matchAll(PHONE_WORDS)].flatMap(([text]) => phoneContact(text)),
    ...[...rest.replaceAll(PHONE_WORDS, ' ').matchAll(PHONE)].flatMap(([text]) => phoneContact(text)),
  ];
}

function webContact(text: string): readonly Contact[] {
  const [, host = '', path = ''] = /^(?:https?:\/\/)?([^/]+)(.*)$/i.exec(text) ?? [];
  const [name = '', top = ''] = host.split('.').slice(-2);
  const isNamed = /^(?:https?:\/\/|www\.)/i.test(text);
  // `Mon.Fri` and `e.g` are not addresses; a real one is written in one case.
  const isOneCase = top === top.toLowerCase() || host === host.toUpperCase();
  if (!isNamed && (name.length < 2 || !isOneCase)) return [];
  const key = `${host.toLowerCase().replace(/^www\./, '')}${path.replace(/\/+$/, '')}`;
  return [{ kind: 'web', text, key }];
}

function phoneContact(text: string): readonly Contact[] {
  const digits = keypadDigits(text).replaceAll(/\D/g, '');
  const isPhone =
    digits.length >= LEAST_DIGITS &&
    digits.length <= MOST_DIGITS &&
    !YEARS.test(text.trim()) &&
    !HOURS.test(text.trim());
  return isPhone ? [{ kind: 'phone', text: text.trim(), key: digits }] : [];
}

/** A number with and without its area code is the same number. */
const isSameContact = (a: Contact, b: Contact): boolean =>
  a.kind === b.kind &&
  (a.key === b.key || (a.kind === 'phone' && (a.key.endsWith(b.key) || b.key.endsWith(a.key))));

export interface ContactDifference {
  readonly kind: ContactKind;
  readonly first: { readonly side: number; readonly text: string };
  readonly second: { readonly side: number; readonly text: string };
}

/**
 * Finds kinds of contact that two sides state differently: each has one that the other lacks. `sides` are the lines of
 * each side. A side without any contact of a kind agrees with all.
 */
export function contactDifferences(sides: readonly (readonly string[])[]): readonly ContactDifference[] {
  const said = sides.map((lines) => lines.flatMap(contactsIn));
  const found: ContactDifference[] = [];
  for (const [second, ofSecond] of said.entries()) {
    for (const [first, ofFirst] of said.slice(0, second).entries()) {
      for (const contact of ofFirst) {
        if (ofSecond.some((other) => isSameContact(contact, other))) continue;
        const other = ofSecond.find(
          (each) => each.kind === contact.kind && !ofFirst.some((own) => isSameContact(own, each)),
        );
        if (!other || found.some(({ second: known }) => isTold(known, second, other))) continue;
        found.push({
          kind: contact.kind,
          first: { side: first, text: contact.text },
          second: { side: second, text: other.text },
        });
      }
    }
  }
  return found;
}

const isTold = (known: ContactDifference['second'], side: number, { text }: Contact): boolean =>
  known.side === side && known.text === text;
