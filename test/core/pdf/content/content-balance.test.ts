import { describe, expect, it } from 'vitest';
import { contentBalanced } from '../../../../core/pdf/content/content-balance.ts';
import { asciiBytes } from '../../../../core/pdf/page/ascii-bytes.ts';
import { contentNames } from '../../../../core/pdf/write/resource-use.ts';

const balanced = async (content: string): Promise<string> =>
  Buffer.from((await contentBalanced(asciiBytes(content))).bytes).toString('latin1');

describe('saves, restores and marked content pair', () => {
  it('paired content is left alone, to the byte', async () => {
    const content = asciiBytes('q 1 0 0 1 2 3 cm /Span BMC 0 0 5 5 re f EMC Q');
    expect(await contentBalanced(content)).toEqual({ bytes: content, isChanged: false });
    expect((await contentBalanced(content)).bytes).toBe(content);
  });

  it('what is open at the end is closed there, innermost first', async () => {
    expect(await balanced('q /A BMC q BT')).toBe('q /A BMC q BT\nET Q EMC Q');
  });

  it('a restore or an end too many is blanked in place, the rest stays', async () => {
    expect(await balanced('1 g Q 0 0 5 5 re EMC f')).toBe('1 g   0 0 5 5 re     f\n');
    expect(await balanced('q Q Q q')).toBe('q Q   q\nQ');
  });

  it('operators inside strings, comments, names and inline images are none', async () => {
    const content =
      '(q \\) Q (nested q) ) Tj <71> Tj % Q q\n/q gs BI /W 2 /H 1 /BPC 8 /CS /G ID \x51 EI q\x01\x00 EI 9 g';
    expect((await contentBalanced(asciiBytes(content))).isChanged).toBe(false);
  });

  it('content cut off inside a string, an image or a name ends quietly', async () => {
    for (const content of ['(never closed', '<48', 'BI /W 1 ID \x00\x01', '/', '%', '[ <<', 'q (']) {
      await expect(balanced(content)).resolves.toBeTypeOf('string');
    }
  });

  it('names are compared with their escapes undone (ISO 32000-1, 7.3.5)', async () => {
    const names = await contentNames(asciiBytes('/Sp#6ft cs /A#20B gs /#2f Do'));
    expect([...names].map((name) => name.decodeText())).toEqual(['Spot', 'A B', '/']);
  });

  it('names count wherever an operator is given them, and nowhere else', async () => {
    const content = asciiBytes(
      '(/no) Tj % /no\n/Tag <</K /In /L [/Deep]>> BDC BI /W 1 /H 1 /BPC 8 /CS /Ink ID /xy EI [(a) 3 (b)] TJ EMC /F1 9 Tf',
    );
    const names = [...(await contentNames(content))].map((name) => name.decodeText());
    expect(names.filter((name) => !['W', 'H', 'BPC', 'CS', 'K', 'L'].includes(name))).toEqual([
      ...['Tag', 'In', 'Deep', 'Ink', 'F1'],
    ]);
  });
});
