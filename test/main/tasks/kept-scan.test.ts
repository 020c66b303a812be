import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { ArtworkScan } from '../../../core/checks/scan/schema.ts';
import { smallArtwork } from '../../support/small-job.ts';

let folder: string;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
  writeFileSync(join(folder, 'art.pdf'), await smallArtwork(2));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const archiveFolder = (): string => join(folder, 'archive');

/** The artwork looked through by a program that has just started, and how many pages it had to read for that. */
async function newSession(): Promise<{ readonly scan: ArtworkScan; readonly pagesRead: number }> {
  vi.resetModules();
  const { TASKS } = await import('../../../main/tasks/tasks.ts');
  let pagesRead = 0;
  const facts = await TASKS.artworkFacts(
    { path: join(folder, 'art.pdf'), fileName: 'art.pdf', box: 'crop', archiveFolder: archiveFolder() },
    {
      signal: new AbortController().signal,
      report: ({ what }) => {
        if (what.startsWith('Checking page')) pagesRead += 1;
      },
    },
  );
  if (!facts.ok) throw new Error(facts.problem.message);
  return { scan: facts.value.scan!, pagesRead };
}

const keptFile = (): string => {
  const kept = readdirSync(archiveFolder(), { recursive: true, encoding: 'utf8' });
  return join(archiveFolder(), kept.find((name) => name.endsWith('scan.json'))!);
};

describe('what an artwork holds', () => {
  it('AC20 is looked through once for all sessions, and the same each time', async () => {
    const first = await newSession();
    const second = await newSession();
    expect([first.pagesRead, second.pagesRead]).toEqual([2, 0]);
    expect(second.scan).toEqual(first.scan);
  });

  it('AC20 is looked through again where the artwork is another, or what was kept is damaged or of another program', async () => {
    await newSession();
    writeFileSync(keptFile(), '{"by":"0.0.1 0","scan":{}}');
    expect((await newSession()).pagesRead).toBe(2);
    writeFileSync(keptFile(), 'half of');
    expect((await newSession()).pagesRead).toBe(2);
    writeFileSync(join(folder, 'art.pdf'), await smallArtwork(3));
    expect((await newSession()).pagesRead).toBe(3);
  });
});
