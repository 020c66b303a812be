import { expect, it } from 'vitest';
import { filesBySide } from '../../../core/job/files-by-side.ts';

const sides = [
  { name: 'Driver side', code: 'DS' },
  { name: 'Passenger side', code: 'PS' },
  { name: 'Front', code: 'FRONT' },
  { name: 'Driver side roof edge', code: 'DSR' },
];
const ordered = (...names: string[]) =>
  filesBySide(
    names.map((name) => ({ name })),
    sides,
  ).map(({ name }) => name);

it('orders files by the sides that their names or codes speak of', () => {
  expect(ordered('AC-2201_front.pdf', 'AC-2201 passenger v2.pdf', 'AC-2201-DS.PDF')).toEqual([
    'AC-2201-DS.PDF',
    'AC-2201 passenger v2.pdf',
    'AC-2201_front.pdf',
  ]);
});

it('takes the side of which most words are there', () => {
  expect(ordered('driver roof edge.pdf', 'front.pdf')).toEqual(['front.pdf', 'driver roof edge.pdf']);
});

it('puts files that name no side last, by their numbers', () => {
  expect(ordered('page 10.pdf', 'page 2.pdf', 'PS.pdf')).toEqual(['PS.pdf', 'page 2.pdf', 'page 10.pdf']);
  expect(filesBySide([{ name: 'b.pdf' }, { name: 'a.pdf' }], [])).toEqual([
    { name: 'a.pdf' },
    { name: 'b.pdf' },
  ]);
});
