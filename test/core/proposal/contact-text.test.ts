import { describe, expect, it } from 'vitest';
import { contactDifferences, contactsIn, keypadDigits } from '../../../core/proposal/contact-text.ts';

describe('contacts in lettering', () => {
  it('read letters of a phone number as the keypad of ITU-T E.161 has them', () => {
    // Its Figure 1: ABC 2, DEF 3, GHI 4, JKL 5, MNO 6, PQRS 7, TUV 8, WXYZ 9.
    expect(keypadDigits('ABCDEFGHIJKLMNOPQRSTUVWXYZ')).toBe('22233344455566677778889999');
    expect(contactsIn('Call 1-800-LIBRARY today')).toEqual([
      { kind: 'phone', text: '1-800-LIBRARY', key: '18005427279' },
    ]);
  });

  it('find numbers and addresses however they are written', () => {
    const keys = (line: string) => contactsIn(line).map(({ kind, key }) => `${kind} ${key}`);
    expect(keys('(555) 010-0142')).toEqual(['phone 5550100142']);
    // WinAnsiEncoding gives the hyphen as a soft one; designers set other dashes.
    expect(keys('Call 555\u00ad0133')).toEqual(['phone 5550133']);
    expect(keys('555\u20110133')).toEqual(['phone 5550133']);
    expect(keys('+49 30 1234567')).toEqual(['phone 49301234567']);
    expect(keys('Visit www.Library.example.org/')).toEqual(['web library.example.org']);
    expect(keys('HTTPS://LIBRARY.EXAMPLE.ORG/books')).toEqual(['web library.example.org/books']);
    expect(keys('ask@library.example.org')).toEqual(['mail ask@library.example.org']);
  });

  it('take no dates, sizes, hours and abbreviations for them', () => {
    for (const line of [
      '1998–2026',
      '6,000 × 2,100 mm',
      'Mon.Fri 9.00-17.30',
      'No.5',
      'e.g. books',
      'US DOT 12345',
    ]) {
      expect(contactsIn(line), line).toEqual([]);
    }
  });
});

describe('sides that differ', () => {
  it('are told with both texts, once', () => {
    const [only, ...more] = contactDifferences([
      ['Read more', '555-0142', 'library.example.org'],
      ['555-0124', 'library.example.org', '555-0124'],
    ]);
    expect(more).toEqual([]);
    expect(only).toEqual({
      kind: 'phone',
      first: { side: 0, text: '555-0142' },
      second: { side: 1, text: '555-0124' },
    });
  });

  it('are not told where one says less, or the same in another way', () => {
    expect(contactDifferences([['555-0142', 'library.example.org'], ['555-0142'], []])).toEqual([]);
    expect(contactDifferences([['(360) 555-0142'], ['555 0142']])).toEqual([]);
    expect(contactDifferences([['www.library.example.org'], ['Library.example.org/']])).toEqual([]);
    expect(
      contactDifferences([
        ['555-0142', '555-0150'],
        ['555-0150', '555-0142'],
      ]),
    ).toEqual([]);
  });

  it('are told of a rear that differs from both sides', () => {
    const found = contactDifferences([['elm.example'], ['elm.example'], ['oak.example']]);
    expect(found.map(({ first, second }) => [first.side, second.side])).toEqual([[0, 2]]);
  });
});
