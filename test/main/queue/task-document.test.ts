import { expect, it } from 'vitest';
import { documentFromValue, valueFromDocument } from '../../../main/queue/task-document.ts';

it('a document brings back all that a thread would get', () => {
  const value = {
    numbers: [1.1, -0, Number.NaN, Number.POSITIVE_INFINITY, 2 ** 53],
    missing: undefined,
    list: [undefined, null, 'a\u0000b'],
    map: new Map([['a', new Set([1, 2])]]),
    bytes: new Uint8Array([0, 255, 7]),
    '=': 'not a mark',
    inner: { '=': ['map', [1]] },
  };
  const back = valueFromDocument(documentFromValue(value));
  expect(back).toStrictEqual(value);
  expect(Object.is((back as typeof value).numbers[1], -0)).toBe(true);
});

it('a document refuses what it has no word for, instead of losing it', () => {
  expect(() => documentFromValue({ at: new Date(0) })).toThrow(/Date/);
  expect(() => documentFromValue({ figures: new Float64Array(2) })).toThrow(/Float64Array/);
  expect(() => documentFromValue({ act: () => 1 })).toThrow(/Function/);
});
