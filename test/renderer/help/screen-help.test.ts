import { describe, expect, it } from 'vitest';
import { SCREEN_HELP } from '../../../renderer/help/screen-help.ts';
import { versionChanges } from '../../../renderer/help/version-changes.ts';

const HALF_A_PAGE_WORDS = 160;

describe('help of a screen', () => {
  it.each(Object.entries(SCREEN_HELP))(
    'fits half a page, and names acts and what comes next: %s',
    (_, help) => {
      const { purpose, acts, next } = help;
      const words = [purpose, ...acts.map(({ text }) => text), next].join(' ').split(/\s+/);
      expect(words.length).toBeLessThanOrEqual(HALF_A_PAGE_WORDS);
      expect(acts.length).toBeGreaterThan(0);
      for (const sentence of [purpose, next, ...acts.map(({ text }) => text)])
        expect(sentence).toMatch(/\.$/);
    },
  );

  it('types no keys of its own', () => {
    const text = JSON.stringify(SCREEN_HELP);
    expect(text).not.toMatch(/Ctrl|Shift\b|Alt\b|\bF\d/);
  });
});

describe('what is new', () => {
  it('is read from the change log, section by section', () => {
    const log =
      '# Changes\n\nText.\n\n## 1.1.0 – 2027-03-01\n\n- One\n  thing.\n- Another `thing`.\n\n## 1.0.0 – 2027-01-05\n\n- First.\n';
    expect(versionChanges(log)).toEqual([
      { version: '1.1.0', changes: ['One thing.', 'Another thing.'] },
      { version: '1.0.0', changes: ['First.'] },
    ]);
  });
});
