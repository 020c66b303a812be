/**
 * Every file gives panels that pass the verification, or one clear finding: pages made here that use every part of the format,
 * hostile ones, and real ones where PANELWRIGHT_CORPUS names a folder of them. Each has limits of time and memory.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { afterAll, describe, expect, it } from 'vitest';
import { HOSTILE_PAGES, LONG_PAGES } from '../fuzz/hostile-pages.ts';
import { LockedCell } from '../fuzz/locked-cell.ts';
import { isLong } from '../support/series.ts';
import { smallArtwork } from '../support/small-job.ts';
import { TRAP_PAGES } from '../support/trap-pages.ts';
import type { WholeOutcome } from './whole-outcome.ts';

/** Of one file: reading, cutting and verifying two pages in two panels each, two renderings of either included. */
const LIMITS = { cpuMs: 60_000, memoryBytes: 2500 * 2 ** 20 };
const cell = new LockedCell<WholeOutcome>(LIMITS, join(import.meta.dirname, 'whole-cell.ts'));
afterAll(() => cell.close());

async function whole(bytes: Uint8Array): Promise<WholeOutcome> {
  const result = await cell.run(bytes);
  if (result.kind !== 'sound') throw new Error(`${result.kind}: ${result.detail}`);
  return result.outcome;
}

/** Panels that were all verified, or at least a sentence of what is wrong. */
async function expectPanelsOrFinding(bytes: Uint8Array): Promise<WholeOutcome> {
  const outcome = await whole(bytes);
  expect(outcome.faults).toEqual([]);
  expect(outcome.panels > 0 || outcome.problems.length > 0).toBe(true);
  return outcome;
}

/** Every fourth: other tests cut all of them and look at the panels with outside programs (test/core/cut/panel-pixels*). */
const CUT = TRAP_PAGES.filter((_, index) => isLong || index % 4 === 0);

describe('pages that a careless cut gets wrong', () => {
  it.each(CUT)('CUT1 give panels that pass the verification: $name', async ({ pdf }) => {
    const { panels, problems } = await expectPanelsOrFinding(pdf);
    expect(problems).toEqual([]);
    expect(panels).toBe(2);
  });

  it('so does an encrypted artwork of two pages', async () => {
    const document = await PDFDocument.load(await smallArtwork(2));
    document.encrypt({ userPassword: '', ownerPassword: 'owner-417' });
    expect(await expectPanelsOrFinding(await document.save())).toMatchObject({ panels: 4, problems: [] });
  });
});

/** Those that get as far as being drawn, and do not draw up to the limit; the series has all that take no minutes. */
const DRAWN: ReadonlySet<string> = new Set([
  'a form that places itself',
  'a soft mask that masks itself',
  'numbers that are none',
  'an image of absurd size',
]);

describe('hostile pages', () => {
  const pages = Object.entries(HOSTILE_PAGES).filter(([name]) =>
    isLong ? !LONG_PAGES.has(name) : DRAWN.has(name),
  );
  it.each(pages)('give verified panels, a finding or a fault that is told: %s', async (_, build) => {
    const { panels, problems, faults } = await whole(build());
    expect(panels + problems.length + faults.length).toBeGreaterThan(0);
  });
});

/** Files that two PDF readers understand differently: the verification must report each. */
const DISPUTED: Readonly<Record<string, RegExp>> = {
  // Dictionary keys without a slash; each reader guesses what they were.
  'hayro__issue67.pdf': /^picture-differs: /,
};
/** Files that take a renderer more work than the limit; the verification then says so. */
const SLOW: ReadonlySet<string> = new Set(['pdfium__bug_555784.pdf']);
const corpus = process.env.PANELWRIGHT_CORPUS;
const files = corpus === undefined ? [] : readdirSync(corpus).filter((name) => name.endsWith('.pdf'));

describe.skipIf(files.length === 0)('real files [needs PANELWRIGHT_CORPUS]', () => {
  it.each(files)('CUT1 %s', async (name) => {
    const bytes = new Uint8Array(readFileSync(join(corpus!, name)));
    const disputed = DISPUTED[name];
    if (!disputed && !SLOW.has(name)) return void (await expectPanelsOrFinding(bytes));
    const { faults } = await whole(bytes);
    if (!disputed) {
      for (const fault of faults)
        expect(fault).toMatch(/^not-drawable: .*takes more work than any artwork does/);
      return;
    }
    expect(faults.length).toBeGreaterThan(0);
    for (const fault of faults) expect(fault).toMatch(disputed);
  });
});
