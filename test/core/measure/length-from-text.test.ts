import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lengthFromText } from '../../../core/measure/length-from-text.ts';

describe('lengths as typed', () => {
  it.each([
    [`3' 6 1/2"`, 1079.5],
    [`3'6 1/2"`, 1079.5],
    [`3'-6 1/2"`, 1079.5],
    ['3′ 6½″', 1079.5],
    ['3’ 6 1/2”', 1079.5],
    [`3' 6`, 1066.8],
    [`3'`, 914.4],
    ['54in', 1371.6],
    ['54 in.', 1371.6],
    ['54"', 1371.6],
    [`54''`, 1371.6],
    ['1.37 m', 1370],
    ['1,37 m', 1370],
    ['1.234,5 mm', 1234.5],
    ['1,234.5 mm', 1234.5],
    ['1 234,5 mm', 1234.5],
    ['16\u202f154.4', 16_154.4],
    ['12.345.678 mm', undefined],
    ['12.345,6', 12_345.6],
    ['1,234,567 mm', undefined],
    ['23,456.7 MM', 23_456.7],
    ['7 ft 3 in', 2209.8],
    ['7 feet 3 inches', 2209.8],
    ['7ft3', 2209.8],
    ['5 1/2 in', 139.7],
    ['5-1/2 in', 139.7],
    ['½ in', 12.7],
    ['7⁄16"', 11.1125],
    ['137 cm', 1370],
    ['1.524 m', 1524],
    ['2.125 in', 53.975],
    ['0,175 mm', 0.175],
    ['.5 in', 12.7],
    ['3,5', 3.5],
    ['42', 42],
    ['-12.5 mm', -12.5],
    ['−12,5 mm', -12.5],
    [`- 3' 6"`, -1066.8],
    ['+8 mm', 8],
    ['1371.6 millimetres', 1371.6],
    ['-0', 0],
  ])('reads %j', (text, mm) => {
    const read = lengthFromText(text, 'mm');
    if (mm === undefined) expect(read).toMatchObject({ ok: false, problem: { code: 'length-out-of-range' } });
    else {
      expect(read, text).toMatchObject({ ok: true });
      expect(read.ok && read.value).toBeCloseTo(mm, 9);
      expect(read.ok && Object.is(read.value, -0)).toBe(false);
    }
  });

  it('takes a number without a unit in the unit of the field', () => {
    expect(lengthFromText('5 1/4', 'in')).toEqual({ ok: true, value: 133.35 });
    expect(lengthFromText('1.37', 'm')).toEqual({ ok: true, value: 1370 });
    expect(lengthFromText('13.7', 'cm')).toEqual({ ok: true, value: 137 });
  });

  it.each([
    ['1,524', 'mm'],
    ['1.524 mm', 'mm'],
    ['1,524 m', 'mm'],
    ['12,345 in', 'in'],
    [`3' 1,234"`, 'in'],
  ] as const)('LEN4 refuses %j, which can be read in two ways', (text, unit) => {
    const read = lengthFromText(text, unit);
    expect(read).toMatchObject({ ok: false, problem: { code: 'length-ambiguous' } });
  });

  it('LEN4 says how to write both readings, and takes either', () => {
    const read = lengthFromText('1,524', 'mm');
    expect(read).toMatchObject({ problem: { remedy: 'Write 1524 or 1.5240.' } });
    expect(lengthFromText('1524', 'mm')).toEqual({ ok: true, value: 1524 });
    expect(lengthFromText('1.5240', 'mm')).toEqual({ ok: true, value: 1.524 });
  });

  it.each([
    ['', 'length-empty'],
    ['   ', 'length-empty'],
    ['wide', 'length-not-understood'],
    ['12 furlongs', 'length-not-understood'],
    ['1/0 in', 'length-not-understood'],
    ['NaN', 'length-not-understood'],
    ['Infinity', 'length-not-understood'],
    ['1e3', 'length-not-understood'],
    ['--5', 'length-not-understood'],
    ['1.2.3', 'length-not-understood'],
    ['1,23,456', 'length-not-understood'],
    ['1.234,567.8', 'length-not-understood'],
    [`3.5' 6"`, 'length-not-understood'],
    [`3" 6'`, 'length-not-understood'],
    ['5 mm 3 in', 'length-not-understood'],
    ['9'.repeat(400), 'length-not-understood'],
    ['100001 mm', 'length-out-of-range'],
    ['-101 m', 'length-out-of-range'],
  ])('refuses %j with one sentence', (text, code) => {
    const read = lengthFromText(text, 'mm');
    expect(read).toMatchObject({ ok: false, problem: { code } });
    expect(!read.ok && read.problem.message).toMatch(/^[^\n]{5,160}\.$/);
  });

  it('holds a field to its range', () => {
    const range = { leastMm: 0, greatestMm: 1524 };
    expect(lengthFromText('-3', 'mm', range)).toMatchObject({
      problem: { message: '“-3” is outside 0 mm to 1524 mm.' },
    });
    expect(lengthFromText('61 in', 'in', range)).toMatchObject({
      problem: { message: '“61 in” is outside 0\u00a0in to 60\u00a0in.' },
    });
    expect(lengthFromText('60 in', 'in', range)).toEqual({ ok: true, value: 1524 });
  });

  it('gives a finite length or a problem for any text at all', () => {
    const typed = fc.stringMatching(/^[0-9.,'"/ \-+½mcinft]{0,24}$/);
    fc.assert(
      fc.property(
        fc.oneof(fc.string(), typed),
        fc.constantFrom('mm', 'cm', 'm', 'in', 'ft'),
        (text, unit) => {
          const read = lengthFromText(text, unit);
          if (read.ok) expect(Number.isFinite(read.value) && Math.abs(read.value) <= 100_000).toBe(true);
          else expect(read.problem.message).toMatch(/\.$/);
        },
      ),
      { numRuns: 3000 },
    );
  });
});
