import { expect, it } from 'vitest';
import { progressText } from '../../../core/contract/progress-text.ts';

it('how far work is reads as a count, or as a share of one piece', () => {
  expect(progressText({ done: 0, total: 12 })).toBe('1 of 12');
  expect(progressText({ done: 2.7, total: 12 })).toBe('3 of 12');
  expect(progressText({ done: 12, total: 12 })).toBe('12 of 12');
  expect(progressText({ done: 0, total: 1 })).toBe('');
  expect(progressText({ done: 0.379, total: 1 })).toBe('37 %');
});
