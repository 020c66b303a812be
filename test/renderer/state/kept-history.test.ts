import { beforeEach, describe, expect, it, vi } from 'vitest';
import { historyEdited, historyOf, historyUndone } from '../../../core/job/history.ts';
import { keepHistory, keptHistory } from '../../../renderer/state/kept-history.ts';
import { smallJob } from '../../support/small-job.ts';

/** A browser's storage as far as it is used, with room for a number of letters. */
function storageOf(room: number): Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> {
  const kept = new Map<string, string>();
  return {
    getItem: (key) => kept.get(key) ?? null,
    setItem(key, text) {
      if (text.length > room) throw new Error('QuotaExceededError');
      kept.set(key, text);
    },
    removeItem: (key) => void kept.delete(key),
  };
}

const edited = (steps: number) => {
  let history = historyOf(smallJob());
  for (let step = 1; step <= steps; step++) {
    history = historyEdited(history, { label: `Edit ${step}`, job: smallJob({ notes: `Note ${step}` }) });
  }
  return history;
};

describe('what can be undone', () => {
  beforeEach(() => {
    vi.stubGlobal('sessionStorage', storageOf(5_000_000));
    return () => vi.unstubAllGlobals();
  });

  it('outlives the window’s look at another job, with the names of its steps', () => {
    const history = historyUndone(edited(4));
    keepHistory(history);
    const kept = keptHistory(structuredClone(history.present))!;
    expect(kept.past.map(({ label }) => label)).toEqual(['Edit 1', 'Edit 2', 'Edit 3']);
    expect(kept.future.map(({ label }) => label)).toEqual(['Edit 4']);
    expect(historyUndone(kept).present.notes).toBe('Note 2');
  });

  it('is not taken for that of a job that was changed elsewhere since', () => {
    const history = edited(2);
    keepHistory(history);
    expect(keptHistory({ ...history.present, notes: 'Changed elsewhere' })).toBeUndefined();
    expect(keptHistory(smallJob({ id: 'other-job' }))).toBeUndefined();
  });

  it('is kept as far as there is room, the latest steps first', () => {
    const one = JSON.stringify(smallJob()).length;
    vi.stubGlobal('sessionStorage', storageOf(one * 8));
    const history = edited(30);
    keepHistory(history);
    const labels = keptHistory(history.present)!.past.map(({ label }) => label);
    expect(labels.length).toBeGreaterThan(1);
    expect(labels.length).toBeLessThan(8);
    expect(labels.at(-1)).toBe('Edit 30');
  });

  it('is forgotten where there is none, or nothing can be kept', () => {
    vi.stubGlobal('sessionStorage', storageOf(10));
    const history = edited(1);
    keepHistory(history);
    expect(keptHistory(history.present)).toBeUndefined();
  });
});
