import { expect, test } from 'vitest';
import { forgetOldest } from '../../../core/measure/oldest.ts';
import { pairsAround, pairsFromLast, pairsInTurn, pairsOf } from '../../../core/measure/pairs.ts';
import { foundIn, itemAround, itemAt, lastOf, present, valueAt } from '../../../core/measure/present.ts';

test('what must be there and is missing is told in a sentence', () => {
  expect([
    itemAt([5, 6, 7], 1),
    lastOf([5, 6, 7]),
    itemAround([5, 6, 7], -1),
    itemAround([5, 6, 7], 4),
  ]).toEqual([6, 7, 7, 6]);
  expect(() => itemAt([5, 6], -1)).toThrow('A list of 2 has nothing at place -1.');
  expect(() => lastOf([])).toThrow('A list of 0 has nothing at place -1.');
  expect(valueAt(new Map([['a', 0]]), 'a')).toBe(0);
  expect(() => valueAt(new Map([['a', 0]]), 'b')).toThrow('A map has nothing under b.');
  expect(foundIn([3, 4, 6], (n) => n % 2 === 0)).toBe(4);
  expect(() => foundIn([3, 5], (n) => n % 2 === 0)).toThrow('None of 2 is the one looked for.');
  expect(() => present(undefined, 'The page of a side')).toThrow('The page of a side is not known here.');
  expect(present('', 'A text')).toBe('');
});

test('neighbors in a row, around, and of two lists', () => {
  const list = ['a', 'b', 'c'];
  expect(pairsInTurn(list)).toEqual([
    ['a', 'b'],
    ['b', 'c'],
  ]);
  expect(pairsAround(list)).toEqual([
    ['a', 'b'],
    ['b', 'c'],
    ['c', 'a'],
  ]);
  expect(pairsFromLast(list)).toEqual([
    ['c', 'a'],
    ['a', 'b'],
    ['b', 'c'],
  ]);
  expect(pairsOf(list, [1, 2, 3])).toEqual([
    ['a', 1],
    ['b', 2],
    ['c', 3],
  ]);
  expect([pairsInTurn([]), pairsAround([]), pairsFromLast([])]).toEqual([[], [], []]);
});

test('what was put into a map first is let go of first', () => {
  const kept = new Map([
    ['b', 1],
    ['a', 2],
  ]);
  forgetOldest(kept);
  expect([...kept.keys()]).toEqual(['a']);
});
