import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutTree } from '../../../core/nesting/cut-tree.ts';
import type { NestPlace } from '../../../core/nesting/nest-piece.ts';
import { nested } from '../../../core/nesting/nesting.ts';
import { perfectStrips } from '../../support/perfect-strips.ts';

const boxOf = ({ x, y, width, height }: Omit<NestPlace, 'key' | 'room'>) => ({
  x0: x,
  x1: x + width,
  y0: y,
  y1: y + height,
});

describe('cuts from edge to edge', () => {
  it('part boxes across first, then lengthwise, and so on', () => {
    const boxes = [
      { x: 0, y: 0, width: 5, height: 9 },
      { x: 5, y: 0, width: 4, height: 3 },
      { x: 5, y: 3, width: 4, height: 6 },
      { x: 0, y: 9, width: 7, height: 2 },
    ];
    const one = (index: number) => ({ kind: 'one', item: boxes[index] });
    expect(cutTree(boxes, boxOf)).toEqual({
      kind: 'cut',
      way: 'across',
      parts: [
        {
          kind: 'cut',
          way: 'lengthwise',
          parts: [one(0), { kind: 'cut', way: 'across', parts: [one(1), one(2)] }],
        },
        one(3),
      ],
    });
  });

  it('leave boxes joined that lie around a middle one', () => {
    const around = [
      { x: 0, y: 0, width: 5, height: 2 },
      { x: 5, y: 0, width: 2, height: 5 },
      { x: 2, y: 5, width: 5, height: 2 },
      { x: 0, y: 2, width: 2, height: 5 },
      { x: 2, y: 2, width: 3, height: 3 },
    ];
    expect(cutTree(around, boxOf)).toEqual({ kind: 'joined', items: around });
  });
});

describe('nesting few pieces exactly', () => {
  it('RL7 finds the least height of strips that were cut apart without waste', () => {
    fc.assert(
      fc.property(perfectStrips(7), ({ items, stripWidth, optimalHeight }) => {
        const pieces = items.map((item, key) => ({ key, ...item }));
        const rooms = {
          closed: [],
          open: { width: stripWidth, height: 1000 },
          longest: Number.POSITIVE_INFINITY,
        };
        const { places, isShortest } = nested(pieces, rooms, {
          below: optimalHeight + 1,
          bound: 0,
          effort: { left: 0 },
          exactWithin: 1e9,
          look: () => undefined,
        });
        expect(isShortest).toBe(true);
        expect(Math.max(...places!.map(({ y, height }) => y + height))).toBe(optimalHeight);
        expect(JSON.stringify(cutTree(places!, boxOf))).not.toContain('joined');
      }),
      { numRuns: 40 },
    );
  });
});
