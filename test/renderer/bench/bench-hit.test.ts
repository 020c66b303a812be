import { describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { sideLayout } from '../../../core/layout/side-layout.ts';
import { benchHit, handleAt, rectPulled } from '../../../renderer/bench/bench-hit.ts';
import { nextInTurn, panelBeside, seamsInTurn } from '../../../renderer/bench/panel-neighbors.ts';
import { smallJob } from '../../support/small-job.ts';

/**
 * A side of 3100 × 1300 mm: a left part, and a right part cut across at 470.
 *
 *     ┌──────┬──────────┐
 *     │      │ p2       │ 470
 *     │ p1   ├──────────┤
 *     │      │ p3       │
 *     └──────┴──────────┘
 *           1330
 */
function job(): Job {
  const base = smallJob(
    {},
    {
      kind: 'split',
      seams: 'vertical',
      joints: [{ id: 'upright', kind: 'lap', atMm: 1330, firstMm: 15, secondMm: 10, top: 'second' }],
      parts: [
        { kind: 'panel', id: 'p1' },
        {
          kind: 'split',
          seams: 'horizontal',
          joints: [{ id: 'level', kind: 'lap', atMm: 470, firstMm: 10, secondMm: 15, top: 'first' }],
          parts: [
            { kind: 'panel', id: 'p2' },
            { kind: 'panel', id: 'p3' },
          ],
        },
      ],
    },
  );
  const side = {
    ...base.sides[0]!,
    bodyLines: [
      {
        id: 'belt',
        name: 'Belt',
        kind: 'crease' as const,
        direction: 'horizontal' as const,
        atMm: 900,
        extent: { fromMm: 0, toMm: 800 },
      },
    ],
    noFilmAreas: [
      {
        id: 'window',
        name: 'Window',
        kind: 'window' as const,
        rect: { xMm: 200, yMm: 100, widthMm: 500, heightMm: 300 },
        clearanceMm: 20,
      },
    ],
  };
  return { ...base, sides: [side] };
}

const layout = () => {
  const current = job();
  return sideLayout(current, current.sides[0]!);
};

describe('what lies under the pointer', () => {
  it('is a seam within reach, else the panel', () => {
    expect(benchHit(layout(), { x: 1325, y: 1100 }, 7)).toMatchObject({
      kind: 'seam',
      seam: { id: 'upright' },
    });
    expect(benchHit(layout(), { x: 1322, y: 1100 }, 7)).toMatchObject({ kind: 'panel', panel: { id: 'p1' } });
    expect(benchHit(layout(), { x: 2000, y: 476 }, 7)).toMatchObject({ kind: 'seam', seam: { id: 'level' } });
  });

  it('is a seam only where it runs', () => {
    expect(benchHit(layout(), { x: 900, y: 472 }, 7)).toMatchObject({ kind: 'panel', panel: { id: 'p1' } });
  });

  it('is the nearer of two seams that meet', () => {
    expect(benchHit(layout(), { x: 1336, y: 472 }, 7)).toMatchObject({ seam: { id: 'level' } });
    expect(benchHit(layout(), { x: 1332, y: 476 }, 7)).toMatchObject({ seam: { id: 'upright' } });
  });

  it('is an opening at its rim and the panel within it', () => {
    expect(benchHit(layout(), { x: 203, y: 250 }, 7)).toMatchObject({ kind: 'item', itemId: 'window' });
    expect(benchHit(layout(), { x: 450, y: 250 }, 7)).toMatchObject({ kind: 'panel' });
  });

  it('is a body line only as far as it reaches', () => {
    expect(benchHit(layout(), { x: 700, y: 903 }, 7)).toMatchObject({ kind: 'item', itemId: 'belt' });
    expect(benchHit(layout(), { x: 820, y: 903 }, 7)).toMatchObject({ kind: 'panel' });
  });

  it('is nothing beyond the side', () => {
    expect(benchHit(layout(), { x: 3200, y: 300 }, 7)).toBeUndefined();
  });
});

describe('handles of a rectangle', () => {
  const rect = { x: 200, y: 100, width: 500, height: 300 };

  it('are its corners and edges', () => {
    expect(handleAt(rect, { x: 204, y: 97 }, 7)).toEqual({ x: -1, y: -1 });
    expect(handleAt(rect, { x: 699, y: 260 }, 7)).toEqual({ x: 1, y: 0 });
    expect(handleAt(rect, { x: 450, y: 250 }, 7)).toBeUndefined();
    expect(handleAt(rect, { x: 720, y: 260 }, 7)).toBeUndefined();
  });

  it('pull their own edges alone', () => {
    expect(rectPulled(rect, { x: -1, y: 0 }, { x: -30, y: 40 }, 10)).toEqual({
      x: 170,
      y: 100,
      width: 530,
      height: 300,
    });
    expect(rectPulled(rect, { x: 1, y: 1 }, { x: 20, y: -50 }, 10)).toEqual({
      x: 200,
      y: 100,
      width: 520,
      height: 250,
    });
  });

  it('never turn a rectangle inside out', () => {
    expect(rectPulled(rect, { x: -1, y: 0 }, { x: 9000, y: 0 }, 10)).toMatchObject({ x: 690, width: 10 });
    expect(rectPulled(rect, { x: 0, y: 1 }, { x: 0, y: -9000 }, 10)).toMatchObject({ y: 100, height: 10 });
  });
});

describe('going about with the keyboard', () => {
  const panel = (id: string) => layout().panels.find((candidate) => candidate.id === id)!;
  const beside = (id: string, way: 'left' | 'right' | 'up' | 'down') =>
    panelBeside(layout(), panel(id), way)?.id;

  it('goes to the panel that meets the longest stretch of the edge', () => {
    expect(beside('p1', 'right')).toBe('p3');
    expect(beside('p2', 'left')).toBe('p1');
    expect(beside('p2', 'down')).toBe('p3');
    expect(beside('p3', 'up')).toBe('p2');
  });

  it('stays at the rim', () => {
    expect(beside('p1', 'left')).toBeUndefined();
    expect(beside('p2', 'up')).toBeUndefined();
  });

  it('goes through seams from the left, round the end', () => {
    const seams = seamsInTurn(layout().seams);
    expect(seams.map(({ id }) => id)).toEqual(['upright', 'level']);
    expect(nextInTurn(seams, 'level', 1)?.id).toBe('upright');
    expect(nextInTurn(seams, 'upright', -1)?.id).toBe('level');
    expect(nextInTurn(seams, undefined, -1)?.id).toBe('level');
    expect(nextInTurn([], undefined, 1)).toBeUndefined();
  });
});
