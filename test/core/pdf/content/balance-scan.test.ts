import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BalanceScan } from '../../../../core/pdf/content/balance-scan.ts';
import { contentBalanced } from '../../../../core/pdf/content/content-balance.ts';
import { asciiBytes } from '../../../../core/pdf/page/ascii-bytes.ts';

const scanned = (content: string, pieceLength = content.length + 1) => {
  const scan = new BalanceScan();
  const bytes = asciiBytes(content);
  for (let at = 0; at < bytes.length; at += pieceLength) scan.push(bytes.subarray(at, at + pieceLength));
  expect(scan.length).toBe(bytes.length);
  return scan.end();
};

/** All that PDF has, and pieces of it where none belong. */
const WORDS =
  "q Q BT ET BMC BDC EMC f re T* ' d0 qQ BTq true null n 1 -2.5 5-3 .5w 3q 1e5 /q /Q#20 / (q) (a(Q)\\)b) (\\ ( ) <71> < > << >> <</K [ ] [(q)3] % %q\n %Q\r { } \0 \t \n";

describe('pairs are told from the letters of content', () => {
  it('as reading all of it tells them, in whatever pieces it comes', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.constantFrom(...WORDS.split(' ')), fc.constantFrom(' ', '', '\n')), {
          maxLength: 24,
        }),
        fc.integer({ min: 1, max: 7 }),
        async (words, pieceLength) => {
          const content = words.flat().join('');
          const { isChanged } = await contentBalanced(asciiBytes(content));
          expect(scanned(content), content).toEqual({ isUnbalanced: isChanged });
          expect(scanned(content, pieceLength), content).toEqual({ isUnbalanced: isChanged });
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('nothing is said of content with inline images, whose data may hold any letters', () => {
    expect(scanned('q BI /W 1 /H 1 /BPC 8 /CS /G ID q EI Q')).toBeUndefined();
    expect(scanned('q (BI) Tj /BI gs Q')).toEqual({ isUnbalanced: false });
  });
});
