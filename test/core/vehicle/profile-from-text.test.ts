import { describe, expect, it } from 'vitest';
import { profileFromText } from '../../../core/vehicle/profile-from-text.ts';

describe('a measured profile as text', () => {
  it('DEP1 is a row a line, in the unit of the job or in one that is named', () => {
    expect(profileFromText('0; 0\r\n2\t1\n\n5 cm; 10 mm\n', 'in')).toEqual({
      ok: true,
      value: [
        { atMm: 0, depthMm: 0 },
        { atMm: 50.8, depthMm: 25.4 },
        { atMm: 50, depthMm: 10 },
      ],
    });
  });

  it.each([
    ['0; 0', 'A profile needs two rows or more.'],
    ['0; 0\n40 12', 'Row 2 needs 2 figures and has 1.'],
    ['0; 0\n\n40; deep', 'Row 3: “deep” is not a length.'],
  ])('%j is refused with a sentence', (text, message) => {
    expect(profileFromText(text, 'mm')).toMatchObject({ ok: false, problem: { message } });
  });
});
