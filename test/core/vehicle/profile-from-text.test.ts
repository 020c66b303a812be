import { describe, expect, it } from 'vitest';
import { profileFromText } from '../../../core/vehicle/profile-from-text.ts';

describe('a measured profile as text', () => {
  it('DEP1 is a row a line, in the unit of the job or in one that is named', () => {
    expect(profileFromText('0; 0\r\n1 1/2\t3/4\n\n5 cm; 10 mm\n', 'in')).toEqual({
      ok: true,
      value: [
        { atMm: 0, depthMm: 0 },
        { atMm: 38.1, depthMm: 19.05 },
        { atMm: 50, depthMm: 10 },
      ],
    });
  });

  it.each([
    ['0; 0', 'A profile needs two rows or more.'],
    ['0; 0\n40 12', 'Row 2 has 1 figure instead of 2.'],
    ['0; 0\n\n40; deep', 'Row 3: “deep” is not a length.'],
  ])('DEP2 %j is refused with a sentence', (text, message) => {
    expect(profileFromText(text, 'mm')).toMatchObject({ ok: false, problem: { message } });
  });
});
