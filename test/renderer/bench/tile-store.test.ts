import { describe, expect, it } from 'vitest';
import type { Problem, Result } from '../../../core/measure/result.ts';
import { TileStore } from '../../../renderer/bench/tile-store.ts';
import type { Tile, TileBlock } from '../../../renderer/bench/tiles.ts';

/** A tile of 7 × 11 mm; of those in one row, four make a block. */
const tile = (page: number, key: string, column = 0): Tile => ({
  page,
  key,
  level: 1,
  window: { x: 3 + 7 * column, y: 5, width: 7, height: 11 },
  widthPx: 512,
  column,
  row: 0,
});

interface Asked {
  readonly tile: Tile;
  readonly block: TileBlock;
  readonly signal: AbortSignal;
  answer(result: Result<string | readonly string[], Problem>): void;
}

function storeUnderTest() {
  const asked: Asked[] = [];
  const released: string[] = [];
  let changes = 0;
  let nowMs = 1000;
  const store = new TileStore<string>({
    pictures: (block, signal) =>
      new Promise((resolve) => {
        asked.push({
          tile: block.parts[0]!.tile,
          block,
          signal,
          answer: (result) => resolve(result.ok ? { ok: true, value: [result.value].flat() } : result),
        });
      }),
    release: (picture) => released.push(picture),
    onChange: () => {
      changes += 1;
    },
    now: () => nowMs,
  });
  const pass = (ms: number) => {
    nowMs += ms;
  };
  const awaitSettled = () => new Promise((resolve) => setTimeout(resolve, 0));
  return { store, asked, released, awaitSettled, pass, changes: () => changes };
}

const slow: Problem = { code: 'picture-too-slow', message: 'Too slow.', remedy: 'Look elsewhere.' };

describe('the store of tiles', () => {
  it('asks for two at a time, in the order wanted', async () => {
    const { store, asked, awaitSettled } = storeUnderTest();
    store.want([tile(1, 'a'), tile(1, 'b'), tile(1, 'c')]);
    expect(asked.map((one) => one.tile.key)).toEqual(['a', 'b']);
    asked[0]!.answer({ ok: true, value: 'picture a' });
    await awaitSettled();
    expect(asked.map((one) => one.tile.key)).toEqual(['a', 'b', 'c']);
    expect(store.tile(tile(1, 'a'))).toBe('picture a');
  });

  it('cancels what is no longer wanted and keeps nothing of it', async () => {
    const { store, asked, released, awaitSettled } = storeUnderTest();
    store.want([tile(1, 'a')]);
    store.want([tile(1, 'b')]);
    expect(asked[0]!.signal.aborted).toBe(true);
    asked[0]!.answer({ ok: true, value: 'late a' });
    await awaitSettled();
    expect(store.tile(tile(1, 'a'))).toBeUndefined();
    expect(released).toEqual(['late a']);
    expect(asked.map((one) => one.tile.key)).toEqual(['a', 'b']);
  });

  it('asks no more of a page that cannot be drawn, and says why', async () => {
    const { store, asked, awaitSettled, changes } = storeUnderTest();
    store.want([tile(1, 'a'), tile(2, 'a'), tile(1, 'b')]);
    asked[0]!.answer({ ok: false, problem: slow });
    await awaitSettled();
    expect(store.problem(1)).toEqual(slow);
    expect(store.problem(2)).toBeUndefined();
    expect(asked.map((one) => `${one.tile.page}${one.tile.key}`)).toEqual(['1a', '2a']);
    expect(changes()).toBe(1);
  });

  it('lets go of what was used longest ago, never of what is in use', async () => {
    const { store, asked, released, awaitSettled } = storeUnderTest();
    const many = Array.from({ length: 240 }, (_, index) => tile(1, `t${index}`));
    store.want(many);
    for (let index = 0; index < many.length; index++) {
      asked[index]!.answer({ ok: true, value: asked[index]!.tile.key });
      await awaitSettled();
    }
    store.want([tile(1, 't0'), tile(1, 'new')]);
    asked.at(-1)!.answer({ ok: true, value: 'new' });
    await awaitSettled();
    expect(released).toEqual(['t1']);
    expect(store.tile(tile(1, 't0'))).toBe('t0');
  });

  it('asks by the block where a picture takes long', async () => {
    const { store, asked, awaitSettled, pass } = storeUnderTest();
    const row = [0, 1, 2, 3, 4].map((column) => tile(1, `c${column}`, column));
    store.want(row);
    expect(asked.map(({ block }) => block.parts.length)).toEqual([1, 1]);
    pass(950);
    asked[0]!.answer({ ok: true, value: 'picture 0' });
    await awaitSettled();
    const { block, answer } = asked[2]!;
    expect(block.parts.map((part) => [part.tile.key, part.xPx, part.widthPx])).toEqual([
      ['c2', 0, 512],
      ['c3', 512, 512],
    ]);
    expect(block).toMatchObject({ window: { x: 17, y: 5, width: 14, height: 11 }, widthPx: 1024 });
    answer({ ok: true, value: ['picture 2', 'picture 3'] });
    await awaitSettled();
    expect([store.tile(row[2]!), store.tile(row[3]!)]).toEqual(['picture 2', 'picture 3']);
    // Another block begins with the fifth column.
    expect(asked[3]!.tile.key).toBe('c4');
  });

  it('lets a block run on while one tile of it is wanted', async () => {
    const { store, asked, awaitSettled, pass } = storeUnderTest();
    store.want([tile(1, 'first')]);
    pass(950);
    asked[0]!.answer({ ok: true, value: 'first' });
    await awaitSettled();
    store.want([tile(1, 'a', 1), tile(1, 'b', 2)]);
    store.want([tile(1, 'b', 2)]);
    expect(asked[1]!.signal.aborted).toBe(false);
    store.want([tile(1, 'c', 9)]);
    expect(asked[1]!.signal.aborted).toBe(true);
  });

  it('begins anew with another artwork', async () => {
    const { store, asked, released, awaitSettled } = storeUnderTest();
    store.want([tile(1, 'a'), tile(2, 'a')]);
    asked[0]!.answer({ ok: true, value: 'old' });
    asked[1]!.answer({ ok: false, problem: slow });
    await awaitSettled();
    store.forget();
    expect(released).toEqual(['old']);
    expect(store.tile(tile(1, 'a'))).toBeUndefined();
    expect(store.problem(2)).toBeUndefined();
    store.want([tile(2, 'a')]);
    expect(asked).toHaveLength(3);
  });
});
